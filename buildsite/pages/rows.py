"""A row for each test in a list: small, frozen, sent from worker to writer."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from buildsite.archive.archive import Archive
from buildsite.archive.field_tests import told_by, told_by_outcome
from buildsite.archive.identity import name_of
from buildsite.archive.issued_flags import issue_flags_among
from buildsite.archive.status_words import ISSUED_WORDS, STATUS_WORDS, UNREADABLE
from buildsite.archive.task import Task
from buildsite.archive.turned_verdicts import Turned
from buildsite.archive.waiting_equipment import Wrong
from buildsite.exports.results import ResultRow
from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.field_answers import EQUIPMENT_ANSWERS
from buildsite.kinds.field_control.results import FieldTest, LiftPaper, Told
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import (
    Spoken,
    readable_text,
    reported_word,
    result_text,
)
from buildsite.kinds.sheet import DrawnCurve, Plot, Sheet
from buildsite.record.flags import Flag, Severity
from buildsite.record.reading import Model
from buildsite.values import dataclass

if TYPE_CHECKING:
    from buildsite.archive.issued_files import IssuedState


def result_title(name: str, method: Spoken = None, text: str = "") -> str:
    """
    Return the standard's term for a result, else the neutral one, as a heading.

    >>> result_title("maximum_dry_density")
    'Maximum dry density'

    `text` is the result as reported: a unit weight in kilograms is a density.
    """
    term = reported_word(method, name, text)
    return term[:1].upper() + term[1:]


@dataclass(frozen=True)
class Row:
    """One test in a list. `project` is the name of its folder."""

    file: str
    id: str
    page: bool  # False for the second file of one id
    kind: str
    title: str  # the kind, in words
    status: str
    project: str
    sample: str = ""
    soil_class: str = ""
    soil_name: str = ""
    source: str = ""  # of the soil
    sampled_at: str = ""
    people: tuple[str, ...] = ()  # codes of those who did something
    standard: str = ""
    method: str = ""
    day: date | None = None
    results: tuple[tuple[str, str], ...] = ()  # name, as reported
    governing: tuple[str, ...] = ()  # names of the results field tests are judged by
    words: tuple[tuple[str, str], ...] = ()  # name, in the standard's word
    flags: tuple[Flag, ...] = ()
    # Equipment, date of its calibration, and which part of it (a bag) or none.
    relies: tuple[tuple[str, str, str], ...] = ()
    blocked: bool = False  # complete, with an open error
    revision: int | None = None  # last one issued; results are as it states them
    issued_as: str = ""  # report | preliminary | withdrawal
    issued_on: date | None = None
    moved: bool = False  # the records have changed since
    repeats: tuple[str, ...] = ()  # how it compares with repeat tests, in words
    sheets: tuple[tuple[str, Sheet], ...] = ()  # project and sample, for clients
    told: Told | None = None  # a field test, or a paper of the fill
    curve: DrawnCurve | None = None  # as drawn on its page
    axes: tuple[str, ...] = ()  # of that figure: the standard's words for both
    turned: tuple[Turned, ...] = ()  # edits that took a failure away, newest first
    tasks: tuple[Task, ...] = ()  # what it waits for
    wrong: tuple[Wrong, ...] = ()  # calibrations relied on that were found wrong
    data: ResultRow | None = None  # in results.csv; None for a paper of the fill

    @property
    def state(self) -> str:
        """Status of the test, in a word or two."""
        if self.revision is None:
            return STATUS_WORDS[self.status]
        moved = ", changed since" if self.moved else ""
        return f"{ISSUED_WORDS[self.issued_as]} r{self.revision}{moved}"

    @property
    def withdrawn(self) -> bool:
        """Whether the test is withdrawn."""
        return self.issued_as == "withdrawal" or self.status == "withdrawn"

    @property
    def newest_first(self) -> tuple[int, str]:
        """Sort key: by day, the latest first, undated ones last; then by id."""
        return (-self.day.toordinal() if self.day else 0, self.id)

    @property
    def zone(self) -> str:
        """The zone of the fill that it is of, if it is of one."""
        return getattr(self.told, "zone", "")

    @property
    def lift(self) -> str:
        """The lift that it is of."""
        return getattr(self.told, "lift", "")

    @property
    def of_fill(self) -> str:
        """Whether it is a test or a paper of the fill, or neither (blank)."""
        if self.told is None:
            return ""
        return "test" if isinstance(self.told, FieldTest) else "paper"

    @property
    def reference(self) -> str:
        """The test that a field test is judged by."""
        return self.told.reference if isinstance(self.told, FieldTest) else ""

    @property
    def drawn(self) -> bool:
        """Whether it has a curve."""
        return self.curve is not None

    @property
    def stands(self) -> bool:
        """Whether it has a page and a measured curve that may be used."""
        if self.curve is None or self.curve.found or not self.curve.line:
            return False
        done = self.status == "complete" and not self.blocked
        return self.page and (self.revision is not None or done) and not self.withdrawn

    @property
    def left(self) -> tuple[str, ...]:
        """The projects that a failure was moved out of."""
        return tuple(one.follow.left for one in self.turned)

    @property
    def unissued(self) -> tuple[str, ...]:
        """The issued and kept files of it that have flags of their own."""
        return tuple(dict.fromkeys(one.file for one in issue_flags_among([self])))

    @property
    def open_flags(self) -> tuple[str, ...]:
        """The open flags by name, each once."""
        return tuple(sorted({one.flag for one in self.flags if not one.accepted_by}))

    @property
    def still(self) -> tuple[int, ...]:
        """How many flags of each severity are open, in order of the severities."""
        found = [one.severity for one in self.flags if not one.accepted_by]
        return tuple(found.count(one) for one in Severity)

    def count(self, severity: Severity) -> int:
        """Return how many flags of a severity are open."""
        return self.still[list(Severity).index(severity)]

    def with_soil_of(self, other: "Row") -> "Row":
        """Return it with the soil of another test, its reference."""
        return replace(self, soil_class=other.soil_class, soil_name=other.soil_name)


@dataclass(frozen=True)
class RenderedTest:
    """All files of one test, and its row."""

    row: Row
    files: tuple[tuple[str, bytes], ...]


def calibrations_used(outcome: Outcome) -> Iterator[tuple[str, str, str]]:
    """Return each piece of equipment and part, with its calibration in force."""
    for answer in outcome.case.inputs.answers.values():
        if isinstance(answer, EQUIPMENT_ANSWERS):
            parts = getattr(answer, "parts", ())
            for part, on in (("", answer.calibrated_on), *parts):
                yield answer.id, on.isoformat() if on else "", part


def curve_of(sheet: Sheet) -> DrawnCurve | None:
    """Return the curve on the figure of a sheet, if there is one."""
    plot = figure_of(sheet)
    return plot.curve if plot is not None else None


def figure_of(sheet: Sheet) -> Plot | None:
    """Return the figure of a sheet, if there is one."""
    plots = (block for block in sheet.blocks if isinstance(block, Plot))
    return next(plots, None)


def axis_words(sheet: Sheet) -> tuple[str, ...]:
    """Return what the axes of its figure are called: water content, density."""
    plot = figure_of(sheet)
    return (plot.x.label, plot.y.label) if plot is not None else ()


BY = ("by", "checked_by")
"""Fields of a record that hold a staff code."""


HOLDERS = (Model, tuple, list)
"""Types of the parts of a record that hold others."""


def codes_in(part: Model) -> set[str]:
    """Return the staff codes in a record: who did what."""
    found: set[str] = set()
    parts: list[Any] = [part]
    for one in parts:  # which grows: parts have parts
        if isinstance(one, Model):
            held = vars(one)
            found.update(
                str(held[name]) for name in BY if isinstance(held.get(name), str)
            )
            parts += [inner for inner in held.values() if isinstance(inner, HOLDERS)]
        else:
            parts += [inner for inner in one if isinstance(inner, HOLDERS)]
    return found


def row_of(archive: Archive, outcome: Outcome, sheet: Sheet) -> Row:
    """Return the row of an outcome."""
    record = outcome.case.record
    sample = str(getattr(record, "sample", None) or "")
    facts = outcome.case.inputs.get(SampleFacts, sample)
    standard = getattr(record, "standard", None)
    return Row(
        file=outcome.file,
        id=name_of(outcome.file),
        page=archive.has_page(outcome.file),
        kind=outcome.kind.name,
        title=outcome.kind.title,
        status=outcome.status,
        project=outcome.file.split("/")[1],
        sample=sample,
        soil_class=facts.soil_class if facts else "",
        soil_name=facts.soil_name if facts else "",
        source=facts.soil_source if facts else "",
        sampled_at=facts.sampled_place if facts else "",
        people=tuple(sorted(codes_in(record))),
        standard=standard.designation if standard else "",
        method=standard.method if standard else "",
        day=sheet.day,
        results=tuple((name, result_text(one)) for name, one in outcome.results.items())
        if outcome.status != "withdrawn"
        else (),
        governing=outcome.governing,
        words=tuple(
            (name, result_title(name, outcome.case.method, one.reported))
            for name, one in outcome.results.items()
        ),
        flags=archive.flags(outcome.file),
        relies=tuple(sorted(set(calibrations_used(outcome)))),
        blocked=outcome.blocked,
        told=told_by_outcome(outcome),
        curve=curve_of(sheet) if outcome.status != "withdrawn" else None,
        axes=axis_words(sheet),
    )


def row_of_unreadable(archive: Archive, file: str) -> Row:
    """Return the row of a file that can't be read as a record."""
    return Row(
        file=file,
        id=name_of(file),
        page=archive.has_page(file),
        kind="",
        title="Unreadable record",
        status=UNREADABLE,
        project=file.split("/")[1],
        flags=archive.flags(file),
        blocked=True,
    )


def result_titles(state: "IssuedState") -> Iterator[tuple[str, str]]:
    """Return every result ever reported of a test, with the standard's term."""
    texts: dict[str, str] = {}
    for item in state.issued.items:
        texts.update(item.results)
    for name, text in texts.items():
        yield name, result_title(name, state.method, text)


def row_of_issued(archive: Archive, state: "IssuedState", sheet: Sheet) -> Row:
    """
    Return the row of an issued test: results as its last revision states them.

    What was tested, how and when is taken from the records as issued, also if this
    program computes another result from them. If they are not available it is left
    blank: the date of issue is not the date of the test.
    """
    item, made = state.item, state.outcome
    curve = curve_of(sheet)  # as issued, also where the records give another one
    axes = axis_words(sheet)
    if made is None and state.archive is not None:
        made = state.archive.outcome(state.file)
        sheet = made.sheet() if made is not None else sheet
    row = (
        row_of(archive, made, sheet)
        if made is not None
        else row_of_unreadable(archive, state.file)
    )
    order = [name for name, _ in row.results]
    names = [*(n for n in order if n in item.results), *item.results]
    return replace(
        row,
        kind=row.kind or str(state.result.get("kind", "")),
        status=state.now.status if state.now is not None else UNREADABLE,
        results=tuple(
            (name, readable_text(item.results[name])) for name in dict.fromkeys(names)
        ),
        governing=tuple(state.result.get("governing") or row.governing),
        words=tuple(result_titles(state)),
        blocked=state.now.blocked if state.now is not None else True,
        revision=item.revision,
        issued_as=item.kind,
        issued_on=item.issued_on,
        moved=state.moved,
        curve=curve,
        axes=axes,
        told=row.told if state.outcome else told_by(state.result, state.file),
    )


def told_of_rows(rows: Iterable[Row]) -> Iterator[Told]:
    """Return the field tests and papers among some tests, with their states."""
    for row in rows:
        told = row.told if row.page else None
        if told is not None:
            told = replace(told, state=row.state, withdrawn=row.withdrawn)
        if isinstance(told, FieldTest):
            told = replace(told, revision=row.revision, issued_on=row.issued_on)
        if isinstance(told, LiftPaper):
            told = replace(told, issued=row.issued_as == "report")
        if told is not None:
            yield told
