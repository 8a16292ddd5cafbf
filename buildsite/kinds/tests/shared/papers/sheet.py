"""The blocks of a paper of the fill: its tests, who signed, what it states."""

from collections.abc import Callable, Iterator, Mapping, Sequence

from buildsite.kinds.answers import LaboratoryFacts
from buildsite.kinds.field_answers import FieldTestFacts
from buildsite.kinds.field_control.closing import Closed, counts
from buildsite.kinds.reporting import readable_text
from buildsite.kinds.sheet import Cell, Column, Note, Row, Sheet, Table
from buildsite.kinds.tests.shared import facts, notes
from buildsite.kinds.tests.shared.departures import departures
from buildsite.kinds.tests.shared.papers.record import AnyPaper, Listed
from buildsite.kinds.tests.shared.record import tested_on
from buildsite.kinds.tests.shared.report import Block
from buildsite.record.flags import Flag

VERDICTS = {"pass": "Pass", "fail": "Fail"}
NONE = "—"

Shown = tuple[Column, Callable[[Listed], Cell]]
"""A column of the list of tests, and its cell."""


def text(value: object) -> Cell:
    """Return a cell; a dash where nothing is stated."""
    return Cell(str(value) if value not in (None, "") else NONE)


def number(one: Listed) -> Cell:
    """Return the number of a test with the revision that the paper rests on."""
    return Cell(one.facts.revision or one.id, ("test", one.id))


def reported(value: str) -> Cell:
    """Return a result as its report has it."""
    return text(readable_text(value) if value else "")


TEST: Shown = (Column("Test", key="test"), number)
DAY: Shown = (Column("Tested", key="tested"), lambda one: text(one.facts.tested_on))
TIME: Shown = (Column("At", key="at"), lambda one: text(one.facts.tested_at))
LIFT: Shown = (
    Column("Zone, lift", key="lift"),
    lambda one: text(", ".join(filter(None, (one.facts.zone, one.facts.lift)))),
)
PLACE: Shown = (Column("Place", key="place"), lambda one: text(one.facts.place))
DENSITY: Shown = (
    Column("Dry density", key="dry_density"),
    lambda one: reported(one.facts.dry_density),
)
PERCENT: Shown = (
    Column("Compaction", key="percent_compaction"),
    lambda one: reported(one.facts.percent),
)
WATER: Shown = (
    Column("Water content", key="water_content"),
    lambda one: reported(one.facts.water),
)
VERDICT: Shown = (
    Column("Verdict", key="verdict"),
    lambda one: Cell(VERDICTS.get(one.facts.verdict, "No verdict")),
)
CURVE: Shown = (Column("Curve", key="curve"), lambda one: text(one.facts.reference))


def history(
    one: FieldTestFacts, closed: Mapping[str, Closed], *, with_why: bool = False
) -> str:
    """Return what a test retests, why it fails, and what closed it, in words."""
    parts = [one.why if with_why and one.verdict != "pass" else ""]
    if not counts(one):
        parts.append(f"{one.purpose or 'no purpose stated'}: does not count")
    if one.retest_of:
        after = f" after rework: {one.rework}" if one.rework else ", without rework"
        parts.append(f"retest of {one.retest_of}{after}")
    if one.check_of:
        parts.append(f"check of {one.check_of}, without rework")
    how = closed.get(one.id)
    if how is not None and how.by:
        parts.append(f"closed by {how.by}")
    elif how is not None:
        parts.append(how.disposition)
    elif one.verdict == "fail":
        parts.append("open")
    return "; ".join(filter(None, parts))


def story(closed: Mapping[str, Closed]) -> Shown:
    """Return the column on failures, retests and what closed them."""
    return (
        Column("Remarks", key="remarks"),
        lambda one: text(history(one.facts, closed, with_why=True)),
    )


def test_table(listed: Sequence[Listed], shown: Sequence[Shown]) -> Table | None:
    """Return the table of the tests, in the order of the work."""
    rows = tuple(
        Row(tuple(cell(one) for _, cell in shown), point=number)
        for number, one in enumerate(listed, start=1)
    )
    if not rows:
        return None
    columns = tuple(column for column, _ in shown)
    return Table("tests", "Field tests", columns, rows, role="more")


def statements(case: AnyPaper, *own: str) -> Note:
    """Return the statements of a paper."""
    lab = case.inputs.get(LaboratoryFacts, "lab")
    invented = "The laboratory, its people, customers and data are invented."
    paragraphs = (
        *((invented,) if lab is not None and lab.invented else ()),
        *own,
        "This report may be copied only in full, unless the laboratory agrees in "
        "writing.",
    )
    return Note("statements", "Statements", paragraphs, role="statement")


def signed(case: AnyPaper) -> Table:
    """Return who entered and reviewed it."""
    return facts.acts(case)


def stated_departures(case: AnyPaper, flags: tuple[Flag, ...]) -> Iterator[Block]:
    """Yield the departures, where the record states any."""
    if case.record.deviations:
        yield departures(case, flags)


def paper(
    case: AnyPaper,
    flags: tuple[Flag, ...],
    title: str,
    subtitle: str,
    blocks: Sequence[Block],
    states: Sequence[str],
) -> Sheet:
    """Return a paper, its blocks in reading order."""
    every = (
        notes.withdrawn(case),
        *blocks,
        signed(case),
        notes.flag_table(flags),
        notes.note_table(flags),
        *stated_departures(case, flags),
        notes.remarks(case),
        statements(case, *states),
    )
    kept = tuple(block for block in every if block is not None)
    return Sheet(title, subtitle, kept, day=tested_on(case.record))
