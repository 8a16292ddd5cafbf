"""Verdicts that rest on an amended test, as lines, plain data and a table."""

from collections.abc import Iterator, Sequence
from typing import Any

from buildsite.kinds.follows import Follow
from buildsite.kinds.sheet import Table
from buildsite.pages.tables import NOTHING, columns, link_cell, table_row
from buildsite.pages.terminal import align_columns
from buildsite.record.messages import counted

TITLE = "Field tests that rest on this"


def heading(follows: Sequence[Follow]) -> str:
    """
    Return how many verdicts rest on a test, and how many change.

    >>> heading([Follow("A", "", "94.4 %", "95.2 %", "fail", "pass")])
    'Field tests that rest on this: 1 test, 1 verdict changes'
    """
    flips = len([one for one in follows if one.flipped])
    change = "no verdict changes"
    if flips:
        change = f"{counted(flips, 'verdict')} change{'s' if flips == 1 else ''}"
    return f"{TITLE}: {counted(len(follows), 'test')}, {change}"


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


def follow_table(name: str, follows: Sequence[Follow], old: str, new: str) -> Table:
    """Return the verdicts by two states, which `old` and `new` name."""
    rows = tuple(
        table_row(
            link_cell("test", one.id),
            one.place or NOTHING,
            one.old_percent or NOTHING,
            one.new_percent or NOTHING,
            one.verdicts,
            mark="changed" if one.flipped else "",
        )
        for one in follows
    )
    heads = columns("Test", "Place", f"By {old}", f"By {new}", "Verdict")
    return Table(name, heading(follows), heads, rows, role="more")
