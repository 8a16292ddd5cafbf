"""Verdicts that rest on an amended test, as lines, plain data and a table."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from buildsite.archive.judged_again import JudgedAgain
from buildsite.kinds.follows import Follow, flips_first
from buildsite.kinds.sheet import Cell, Row, Table
from buildsite.pages.tables import NOTHING, columns, link_cell, table_row
from buildsite.pages.terminal import align_columns
from buildsite.record.messages import counted
from buildsite.values import dataclass

TITLE = "Field tests that rest on this"


def heading(follows: Sequence[Follow]) -> str:
    """
    Return how many verdicts rest on a test, and how many change.

    >>> heading([Follow("A", "", "94.4 %", "95.2 %", "fail", "pass")])
    'Field tests that rest on this: 1 test, 1 verdict changes'
    """
    return f"{TITLE}: {counted(len(follows), 'test')}, {changes(follows)}"


def changes(follows: Iterable[Follow]) -> str:
    """Return how many verdicts change."""
    flips = len([one for one in follows if one.flipped])
    if not flips:
        return "no verdict changes"
    return f"{counted(flips, 'verdict')} change{'s' if flips == 1 else ''}"


def follow_lines(follows: Sequence[Follow]) -> Iterator[str]:
    """Return one line a test, in columns: its id, place, verdict and figure."""
    rows = [(one.id, one.place, one.verdicts, one.percents) for one in follows]
    yield from (line.strip() for line in align_columns(rows, [False] * 4))


def follow_data(one: Follow) -> dict[str, Any]:
    """Return one verdict, before and after, as plain data."""
    return {
        "test": one.id,
        "place": one.place or None,
        "flipped": one.flipped,
        "percent_compaction": {
            "old": one.old_percent or None,
            "new": one.new_percent or None,
        },
        "verdict": {"old": one.old_verdict, "new": one.new_verdict},
        "uncounted": one.uncounted or None,
    }


@dataclass(frozen=True)
class Compared:
    """A verdict by both reports of its reference, and the reports of its own."""

    follow: Follow
    reports: Cell
    by_new: bool = True  # whether there is one by the newer report


def compared_verdicts(
    computed: Iterable[Follow], issued: Iterable[JudgedAgain]
) -> list[Compared]:
    """
    Return the verdicts by both reports of a reference, flips first.

    What was issued by both goes before what the records say now.
    """
    found = {one.id: Compared(one, Cell("not issued")) for one in computed}
    for again in issued:
        was = f"r{again.before.revision}"
        if again.after is not None and again.follow is not None:
            last = f"r{again.after.revision}"
            to = ("revision", f"{again.id}/{last}")
            words = Cell(f"{was}, judged again in {last}", to)
            found[again.id] = Compared(again.follow, words)
        elif again.follow is not None:
            to = ("revision", f"{again.id}/{was}")
            words = Cell(f"{was}, not judged again yet", to)
            one = found.get(again.id)
            found[again.id] = (
                Compared(one.follow, words)
                if one is not None
                else Compared(again.follow, words, by_new=False)
            )
    order = flips_first(one.follow for one in found.values())
    return [found[one.id] for one in order]


def compared_table(
    name: str, compared: Sequence[Compared], numbers: tuple[int, int]
) -> Table:
    """Return verdicts by two reports of their reference, with those numbers."""
    rows = tuple(map(compared_row, compared))
    old, new = (f"By r{number}" for number in numbers)
    heads = columns("Test", "Place", old, new, "Verdict", "Its report")
    return Table(name, compared_title(compared), heads, rows, role="more")


def compared_title(compared: Sequence[Compared]) -> str:
    """
    Return how many verdicts rest on a test, and how many of those judged again change.

    >>> one = Follow("A", "", "98.1 %", "98.1 %", "pass", "pass")
    >>> compared_title([Compared(one, Cell(""), by_new=False)])
    'Field tests that rest on this: 1 test, not judged again yet'
    """
    judged = [one.follow for one in compared if one.by_new]
    waiting = len(compared) - len(judged)
    change = f"{changes(judged)}; {waiting} " if judged else ""
    waits = f"{change}not judged again yet" if waiting else changes(judged)
    return f"{TITLE}: {counted(len(compared), 'test')}, {waits}"


def compared_row(one: Compared) -> Row:
    """Return one verdict by both reports."""
    follow = one.follow
    return table_row(
        link_cell("test", follow.id),
        follow.place or NOTHING,
        follow.old_percent or NOTHING,
        (follow.new_percent if one.by_new else "") or NOTHING,
        follow.verdicts,
        one.reports,
        mark="changed" if follow.flipped else "",
    )
