"""The report of a water content, as blocks in reading order."""

from buildsite.kinds.reporting import gram_places, percent_result, shown_places
from buildsite.kinds.sheet import Cell, Column, Note, Plot, Row, Sheet, Table
from buildsite.kinds.tests.shared import facts as shared
from buildsite.kinds.tests.shared import notes as said
from buildsite.kinds.tests.water_content.case import Test
from buildsite.record.flags import Flag

CAUTIONS = (
    "Oven: hot containers burn; use tongs and gloves, and put nothing flammable in. "
    "Let them cool under a lid before they go on the balance.",
    "Stones burst and organic soil smokes in a hot oven: keep to the temperature, and "
    "air the room. Treat unknown soil as contaminated.",
    "Dust: dry soil may hold silica; extract it or wear a mask when emptying the "
    "containers.",
)
GRAMS = 1000.0


def results(case: Test) -> Table:
    """The result, or that there is none."""
    water, method = case.values.water_content, case.method
    word = method.word("water_content") if method is not None else "water content"
    name = word[:1].upper() + word[1:]
    row = (
        Row((Cell("No result"), Cell("No container has all of its masses.")), "none")
        if water is None
        else Row(
            (
                Cell(name),
                Cell(percent_result("water_content", water, method).reported),
            ),
            mark="water_content",
        )
    )
    many = len(case.values.waters) > 1
    return Table(
        "results",
        "Results",
        (Column("Result"), Column("Reported")),
        (row,),
        role="results",
        headed="row",
        note=f"The mean of {len(case.values.waters)} containers." if many else "",
    )


COLUMNS = (
    Column("No.", number=True, key="number"),
    Column("Container", key="container"),
    Column("Moist soil", "g", number=True, key="moist_soil_g"),
    Column("Dry soil", "g", number=True, key="dry_soil_g"),
    Column("Water content", "%", number=True, key="water_content_percent"),
)


def places(case: Test) -> int:
    """Decimals of a gram to which the containers were read."""
    read = [
        mass
        for one in case.record.containers
        for mass in (
            one.container_mass,
            one.container_and_wet,
            *(one.container_and_dry or ()),
        )
    ]
    return gram_places(read, case.record.units.moisture)


def grams(mass: float | None, decimals: int) -> str:
    """A mass for the table."""
    return shown_places(None if mass is None else mass * GRAMS, decimals)


def container_table(case: Test) -> Table:
    """One row a container."""
    decimals = places(case)
    rows = tuple(
        Row(
            tuple(
                Cell(text)
                for text in (
                    str(found.number),
                    one.container or "—",
                    grams(found.moist_soil, decimals),
                    grams(found.dry_soil, decimals),
                    shown_places(found.water_content, 2),
                )
            ),
            mark="rejected" if found.rejected else "",
            point=found.number,
        )
        for one, found in zip(
            case.record.containers, case.values.containers, strict=True
        )
    )
    return Table("containers", "Containers", COLUMNS, rows, role="points")


def method_facts(case: Test) -> Table:
    """How the test was made."""
    record = case.record
    return shared.facts(
        "method",
        "Method",
        [
            shared.standard_row(case),
            (
                "Variant",
                "" if record.standard.variant == "none" else record.standard.variant,
            ),
            ("Largest particle", f"passes {record.largest_particle}")
            if record.largest_particle
            else ("", ""),
            ("Left out", record.left_out or "nothing stated"),
        ],
    )


def sheet(case: Test, flags: tuple[Flag, ...]) -> Sheet:
    """Everything that a report says, in reading order."""
    blocks: list[Table | Plot | Note | None] = [
        said.withdrawn(case),
        results(case),
        container_table(case),
        shared.sample_facts(case),
        method_facts(case),
        shared.acts(case),
        shared.equipment(shared.device_rows(case)),
        said.flag_table(flags),
        said.note_table(flags),
        said.rejected(case),
        said.departures(case),
        said.remarks(case),
        said.outside(case),
        said.statements(case, "oven, hot containers and dust"),
        said.cautions(CAUTIONS),
    ]
    return Sheet(
        title=case.method.title if case.method is not None else "Water content",
        subtitle=shared.standard_named(case.record.standard),
        blocks=tuple(block for block in blocks if block is not None),
        day=case.record.tested.on,
    )
