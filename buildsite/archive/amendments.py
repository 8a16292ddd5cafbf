"""What an amended report says of the one it amends: which values moved, and how."""

from collections.abc import Iterator, Mapping

from buildsite.archive.differences import answer_changes, leaves, record_changes
from buildsite.archive.drift import differing_results, reported
from buildsite.archive.field_names import in_text, spoken, unit_of, with_unit
from buildsite.kinds.kind import Lines
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import readable_text, unit_renamed
from buildsite.record.changes import Change
from buildsite.record.compose import Tree
from buildsite.record.flags import Field, field_path
from buildsite.record.issued import Issued, Item
from buildsite.values import dataclass

SILENT = ("status", "format", "reviewed", "accepted")
"""Fields that a report tells elsewhere, or that say nothing of the result."""

LOST = "the earlier record could not be read again: compare the two reports"


@dataclass(frozen=True)
class Amendment:
    """
    The report that this one amends, replaces or withdraws.

    `values` says which values moved; `points` which points' readings did, from 1;
    `withdrawn` is the notice that took it back meanwhile, if one did.
    """

    item: Item
    values: tuple[str, ...] = ()
    points: frozenset[int] = frozenset()
    withdrawn: Item | None = None

    @property
    def final(self) -> bool:
        """Whether what was sent claimed to be final: only then is this an amendment."""
        return self.item.kind == "report"


def earlier_report(issued: Issued | None) -> Item | None:
    """
    Find the report that the next one speaks of.

    The last final one, though it was withdrawn since; else the last preliminary one.
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
    Compare the state that was issued with the one that is about to be.

    Parameters
    ----------
    issued
        All that was issued of the test.
    item
        The earlier report, one of them.
    old
        What its inputs come to today; None where they can't be found or read.
    new
        What is about to be issued.
    """
    last = issued.last_report
    gone = last if last is not None and last.kind == "withdrawal" else None
    if old is None:
        return Amendment(item, (LOST,), withdrawn=gone)
    own = record_changes(old.source.tree, new.source.tree, SILENT)
    lines = new.kind.lines
    texts = (
        change_in_words(change, lines, (old if change.new is None else new).source.tree)
        for change in own
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
    """Results that the same values come to in another version of the program."""
    was, now = dict(item.results), reported(old)
    if was == now:
        return
    note = unit_renamed(was, now)
    if note and figures(was) == figures(now):
        yield note
        return
    old_texts, new_texts = (
        {name: readable_text(text) for name, text in texts.items()}
        for texts in (was, now)
    )
    words = differing_results(new_texts, old_texts)
    yield f"the program computes the earlier readings otherwise now: {words}"


def figures(results: Mapping[str, str]) -> dict[str, str]:
    """Reported numbers without their units."""
    return {name: text.partition(" ")[0] for name, text in results.items()}


def answer_changes_in_words(old: Outcome, new: Outcome) -> Iterator[str]:
    """Values that another record gave and that differ now, a line for each record."""
    for moved in answer_changes(old, new):
        fields = (
            f"{name.replace(': ', ', ')} {before or 'nothing'} → {after or 'nothing'}"
            for name, before, after in moved.fields
        )
        yield f"{moved.of}: {'; '.join(fields)}"


def change_in_words(change: Change, lines: Lines | None, tree: Tree) -> str:
    """
    Tell a change as a reader of the report does: points counted from 1, with units.

    >>> points, record = Lines("points", "point"), {"units": {"compacted": "lb"}}
    >>> read = Change(("points", 2, "mold_and_wet_soil"), "8.64", "8.46")
    >>> change_in_words(read, points, record)
    'point 3, mold and wet soil: 8.64 lb → 8.46 lb'
    >>> new = Change(("deviations", 0), None, {"clause": "5.2", "what": "x"})
    >>> change_in_words(new, None, {})
    'departure 1 is new: clause 5.2, what x'

    Parameters
    ----------
    change
        The change.
    lines
        The list that the kind's report shows line by line, and what it calls a line.
    tree
        The record, which names its units.
    """
    where = field_in_words(change.field, lines)
    if change.old is not None and change.new is not None:
        old, new = (_said(tree, change.field, v) for v in (change.old, change.new))
        return f"{where}: {old} → {new}"
    depth = len(change.field)
    parts = [
        f"{field_in_words(way[depth:], None)} {_said(tree, way, was or now)}".strip()
        for way, was, now in leaves(change)
    ]
    if len(parts) == 1 and not isinstance(change.new or change.old, Mapping):
        texts = ("nothing", parts[0]) if change.old is None else (parts[0], "nothing")
        return f"{where}: {' → '.join(texts)}"
    state = "is new" if change.old is None else "is no longer there"
    return f"{where} {state}: {', '.join(parts)}"


def _said(tree: Tree, way: Field, value: object) -> str:
    return with_unit(in_text(value), unit_of(tree, way))


def field_in_words(field: Field, lines: Lines | None) -> str:
    """Name a field in words, a line of the report as the report does."""
    if lines is not None and field[:1] == (lines.name,) and len(field) > 1:
        number = f"{lines.one} {int(field[1]) + 1}"
        return ", ".join(
            part for part in (number, spoken(field_path(field[2:]))) if part
        )
    return spoken(field_path(field)) if field else ""
