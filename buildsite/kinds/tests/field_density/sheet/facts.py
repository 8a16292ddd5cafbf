"""The facts of a field density's report: verdict, place, reference, how it was made."""

from collections.abc import Iterator

from buildsite.kinds.criteria import Criterion, as_printed, signed
from buildsite.kinds.reporting import (
    POINT_PLACES,
    point_density,
    printed_unit,
    to_places,
)
from buildsite.kinds.sheet import Cell, Column, Row, Table, fact_table
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.places import position_words
from buildsite.kinds.tests.field_density.sheet.readings import NAMES
from buildsite.kinds.tests.field_density.water import way_of
from buildsite.kinds.tests.shared.facts import join_known, person_text

VERDICTS = {"pass": "Meets the requirement", "fail": "Does not meet the requirement"}


def label_of(case: Test, name: str) -> str:
    """Return a result's name in the standard's words; a deviation as such."""
    if name in ("water_content", "water_content_deviation"):
        water = case.word("water_content")
        return f"{water} from optimum" if "deviation" in name else water
    return case.word(name)


def criterion_label(case: Test, name: str) -> str:
    """Return the label of a criterion."""
    of = "water_content_deviation" if name == "water_content" else name
    text = label_of(case, of)
    return text[:1].upper() + text[1:]


def verdict_words(case: Test) -> str:
    """Return the verdict in a few words."""
    return VERDICTS.get(case.values.verdict.verdict, "No verdict")


def why_words(case: Test) -> str:
    """Return why there is no verdict or a failure, and the clause."""
    verdict, asked = case.values.verdict, case.values.requirement
    why = verdict.why if verdict.verdict != "pass" else ""
    early = "The water content is preliminary" if case.values.preliminary else ""
    clause = f"Clause: {asked.clause}" if asked is not None and asked.clause else ""
    parts = (why[:1].upper() + why[1:], early, clause)
    return " ".join(f"{part}." for part in parts if part)


def criterion_row(case: Test, one: Criterion) -> Row:
    """Return the row of one limit: required, compared, met."""
    water = one.criterion == "water_content"
    found, limit = (
        (signed(as_printed(one)), signed(one.limit))
        if water
        else (as_printed(one), one.limit)
    )
    unit = printed_unit(one.unit)
    band = f", guard band {one.guard}" if one.guard else ""
    texts = (
        criterion_label(case, one.criterion),
        f"at {one.side} {limit} {unit}{band}",
        f"{found} {unit}",
        one.compare,
        "yes" if one.met else "no",
    )
    return Row(tuple(map(Cell, texts)), mark="" if one.met else "error")


def verdict_table(case: Test) -> Table:
    """Return the verdict with every limit it was judged by."""
    heads = ("Criterion", "Required", "Found", "Compared", "Met")
    rows = tuple(criterion_row(case, one) for one in case.values.verdict.criteria)
    if not rows:
        rows = (Row((Cell("None compared"), *(Cell("—") for _ in heads[1:]))),)
    return Table(
        "verdict",
        "Criteria of the verdict",
        tuple(map(Column, heads)),
        rows,
        note=why_words(case),
    )


def texts_with(unit: str | None, **named: object) -> str:
    """Return known figures with their names and one unit."""
    known = ((name, value) for name, value in named.items() if value is not None)
    return join_known(
        *(f"{name} {value} {unit or ''}".rstrip() for name, value in known)
    )


def place_table(case: Test) -> Table:
    """Return where the test was made, and on what work."""
    record = case.record
    works, unit = record.works, record.units.depth
    lift = ""
    if works is not None:
        lift = texts_with(
            unit, loose=works.thickness_loose, compacted=works.thickness_compacted
        )
    rolled = ""
    if works is not None:
        many = f"{works.passes} passes" if works.passes is not None else ""
        rolled = join_known(works.roller, many)
    seen = record.soil
    return fact_table(
        "place",
        "Place",
        [
            ("Zone", record.zone or ""),
            ("Lift", record.lift or ""),
            ("Position", position_words(record)),
            ("Time", record.tested.at or ""),
            ("Purpose", record.purpose.replace("-", " ")),
            ("Soil as seen", join_known(seen.name, seen.class_) if seen else ""),
            ("Lift thickness", lift),
            ("Compacted by", rolled),
            ("Source", (works.source or "") if works is not None else ""),
            ("Weather", (works.weather or "") if works is not None else ""),
            *history_rows(case),
        ],
    )


def test_cell(id: str | None) -> Cell | str:
    """Return another test, linked."""
    return Cell(id, ("test", id)) if id else ""


def history_rows(case: Test) -> Iterator[tuple[str, Cell | str]]:
    """Yield what became of the place before and after."""
    record = case.record
    yield "Retest of", test_cell(record.retest_of)
    yield "Check of", test_cell(record.check_of)
    work = record.rework
    yield "Rework", join_known(work.what, work.on, work.by) if work else ""
    gone = record.disposition
    if gone is not None:
        said = gone.as_.replace("-", " ")
        yield "Disposition", join_known(said, gone.document, gone.by, gone.on)


def reference_table(case: Test) -> Table:
    """Return what the test was compared with, at which revision, and who matched it."""
    record, values = case.record, case.values
    facts, found, unit = values.reference, values.compared, values.density_unit
    target = found.target
    rows: list[tuple[str, Cell | str]] = []
    if record.reference is not None:
        name = facts.revision if facts is not None and facts.revision else ""
        shown = name or f"{record.reference}, not issued"
        rows.append(("Reference", Cell(shown, ("test", record.reference))))
    if facts is not None:
        rows.append(("Soil", join_known(facts.soil_name, facts.soil_class)))
        # Reports that were kept before they named their standard say none.
        way = f"Method {facts.method}" if facts.method else ""
        rows.append(("Compacted by", join_known(facts.designation, way)))
    by = person_text(case, record.reference_by)
    rows.append(("Matched by", join_known(record.reference_basis, by)))
    if target is not None:
        dense = point_density(target.maximum_dry_density, shown_unit(unit))
        rows.append(
            (
                "Maximum dry density compared",
                f"{dense} {printed_unit(shown_unit(unit))}",
            )
        )
        if target.optimum_water_content:
            water = to_places(target.optimum_water_content, 1)
            rows.append(("Optimum compared", f"{water} %"))
        rows.append(("From", target.from_))
    rows.append(("Fraction compared", found.fraction if target is not None else ""))
    rows += coarse_rows(case)
    return fact_table("reference", "Reference", rows)


def shown_unit(unit: str) -> str:
    """Return a unit of density that tables know."""
    return unit if unit in POINT_PLACES else "kg/m3"


def coarse_rows(case: Test) -> Iterator[tuple[str, Cell | str]]:
    """Yield the field's own coarse fraction."""
    split = case.values.split
    if split is None or split.percent is None:
        return
    share, water = to_places(split.percent, 1), to_places(split.water, 1)
    yield "Coarse fraction", f"{share} % retained on {split.sieve or 'the sieve'}"
    whence = {"assumed": ", assumed", "reference": ", as of the reference"}
    yield "Its water", f"{water} %{whence.get(split.water_source, '')}"


def work_facts(case: Test) -> list[tuple[str, Cell | str]]:
    """Return how density and water content were found."""
    record, water = case.record, case.values.water
    name = case.word("water_content").capitalize()
    size = record.largest_particle
    rows: list[tuple[str, Cell | str]] = [
        ("Apparatus", NAMES[record.apparatus]),
        ("Sand", f"bag {record.sand_bag}" if record.sand_bag else ""),
        ("Largest particle", f"passes {size}" if size else ""),
        (f"{name} by", way_of(record).replace("-", " ")),
    ]
    if water.oven is not None:
        rows.append((f"{name}, field", f"{to_places(water.field, 1)} %"))
        rows.append((f"{name}, oven", f"{to_places(water.oven, 1)} %; it counts"))
    return rows + gauge_facts(case)


def gauge_facts(case: Test) -> list[tuple[str, Cell | str]]:
    """Return how a gauge was used, without what stays in-house."""
    gauge, units = case.record.gauge, case.record.units
    if gauge is None:
        return []
    rows: list[tuple[str, Cell | str]] = [
        ("Mode", gauge.mode or ""),
        ("Depth of the rod", f"{gauge.depth} {units.depth}" if gauge.depth else ""),
    ]
    offset = gauge.offset
    if offset is not None and offset.value is not None:
        unit = printed_unit(offset.unit or units.density or "")
        where = "in the gauge" if offset.applied == "in-gauge" else "here"
        rows.append(("Offset of the water", f"{offset.value} {unit}, applied {where}"))
    return rows
