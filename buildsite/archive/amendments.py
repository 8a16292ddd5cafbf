"""The changes that an amended report lists."""

from collections.abc import Iterator, Mapping

from buildsite.archive.differences import (
    NOT_STATED,
    answer_changes,
    leaves,
    record_changes,
)
from buildsite.archive.drift import differing_results, reported
from buildsite.archive.field_names import in_text, spoken, unit_of, with_unit
from buildsite.kinds.kind import Lines
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import (
    Spoken,
    readable_text,
    same_figure,
    unit_renamed,
)
from buildsite.record.changes import Change
from buildsite.record.compose import Tree
from buildsite.record.flags import Field, field_path
from buildsite.record.issued import Issued, Item
from buildsite.values import dataclass

SILENT = ("status", "format", "reviewed", "accepted")
"""Fields shown elsewhere on a report, or that do not concern the result."""

LOST = "the earlier record can't be read: compare the two reports"


@dataclass(frozen=True)
class Amendment:
    """
    The report that this one amends, replaces or withdraws.

    `values` are the changes in words; `points` the numbers of the points whose readings
    changed; `withdrawn` the notice that has withdrawn it since, if any.
    """

    item: Item
    values: tuple[str, ...] = ()
    points: frozenset[int] = frozenset()
    withdrawn: Item | None = None

    @property
    def final(self) -> bool:
        """Whether the earlier report was final: only then is this an amendment."""
        return self.item.kind == "report"


def earlier_report(issued: Issued | None) -> Item | None:
    """
    Return the report that the next one refers to.

    The last final one, even if withdrawn since; else the last preliminary one.
    """
    items = issued.items if issued is not None else ()
    for sort in ("report", "preliminary"):
        for item in reversed(items):
            if item.kind == sort:
                return item
    return None


def amendment(
    issued: Issued, item: Item, old: Outcome | None, new: Outcome
) -> Amendment:
    """
    Compare an earlier report, `item`, with the outcome about to be issued.

    `old` is computed from its inputs; None if they can't be found or read.
    """
    last = issued.last_report
    gone = last if last is not None and last.kind == "withdrawal" else None
    if old is None:
        return Amendment(item, (LOST,), withdrawn=gone)
    own = record_changes(old.source.tree, new.source.tree, SILENT)
    lines = new.kind.lines
    texts = (
        change_in_words(change, lines, side.source.tree, side.case.method)
        for change in own
        for side in [old if change.new is None else new]
    )
    values = (*texts, *answer_changes_in_words(old, new), *program_change(item, old))
    points = frozenset(
        change.field[1] + 1
        for change in own
        if lines is not None
        and change.field[0] == lines.name
        and isinstance(change.field[1], int)
    )
    return Amendment(item, tuple(values), points, gone)


def program_change(item: Item, old: Outcome) -> Iterator[str]:
    """Return the results that another version of the program computes."""
    was, now = dict(item.results), reported(old)
    if note := unit_renamed(was, now):
        yield note
    alike = {name for name in was.keys() & now if same_figure(was[name], now[name])}
    old_texts, new_texts = (
        {name: readable_text(text) for name, text in texts.items() if name not in alike}
        for texts in (was, now)
    )
    words = differing_results(new_texts, old_texts, old.case.method)
    if words:
        yield f"earlier readings, computed by the current program: {words}"


def answer_changes_in_words(old: Outcome, new: Outcome) -> Iterator[str]:
    """Return the changed values from other records, a line for each record."""
    for moved in answer_changes(old, new):
        fields = (
            f"{name.replace(': ', ', ')} {before or NOT_STATED} → {after or NOT_STATED}"
            for name, before, after in moved.fields
        )
        yield f"{moved.of}: {'; '.join(fields)}"


def change_in_words(
    change: Change, lines: Lines | None, tree: Tree, method: Spoken = None
) -> str:
    """
    Return a change in words: points counted from 1, with units.

    >>> points, record = Lines("points", "point"), {"units": {"compacted": "lb"}}
    >>> read = Change(("points", 2, "mold_and_wet_soil"), "8.64", "8.46")
    >>> change_in_words(read, points, record)
    'point 3, mold and wet soil: 8.64 lb → 8.46 lb'
    >>> from buildsite.standards.tables import find
    >>> peak = Change(("curve", "drawn", "optimum_water_content"), "15.2", "14.7")
    >>> change_in_words(peak, None, {}, find("AASHTO T 99", "A"))
    'drawn curve, optimum moisture content: 15.2 % → 14.7 %'
    >>> new = Change(("deviations", 0), None, {"clause": "5.2", "what": "x"})
    >>> change_in_words(new, None, {})
    'departure 1 added: clause 5.2, what x'

    `lines` is the list of readings that the report shows as a table; `tree` the record,
    which states its units; the terms are those of the test's standard.
    """

    def words(way: Field, of: Lines | None = None) -> str:
        return field_in_words(way, of, method, unit_of(tree, way))

    where = words(change.field, lines)
    if change.old is not None and change.new is not None:
        old, new = (_with_unit(tree, change.field, v) for v in (change.old, change.new))
        return f"{where}: {old} → {new}"
    depth = len(change.field)
    parts = [
        " ".join((words(way[depth:]), _with_unit(tree, way, was or now)))
        for way, was, now in leaves(change)
    ]
    parts = [part.strip() for part in parts]
    if len(parts) == 1 and not isinstance(change.new or change.old, Mapping):
        texts = (NOT_STATED, parts[0])
        return f"{where}: {' → '.join(texts if change.old is None else texts[::-1])}"
    state = "added" if change.old is None else "removed"
    return f"{where} {state}: {', '.join(parts)}"


def _with_unit(tree: Tree, way: Field, value: object) -> str:
    return with_unit(in_text(value), unit_of(tree, way))


def field_in_words(field: Field, lines: Lines | None, method: Spoken, unit: str) -> str:
    """Return the name of a field in words; a point by its number."""
    if lines is not None and field[:1] == (lines.name,) and len(field) > 1:
        number = f"{lines.one} {int(field[1]) + 1}"
        inside = spoken(field_path(field[2:]), method, unit)
        return ", ".join(part for part in (number, inside) if part)
    return spoken(field_path(field), method, unit) if field else ""
