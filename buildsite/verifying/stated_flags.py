"""
Warnings from comparing tests, as a kept result states them.

They come from other tests than the item's inputs. For an item published before they are
taken from its own kept result, whose digest it states: to compare all tests again for
each item that ever was would cost the square of their number. What it can state so is
a warning of one of these few names, and no result.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from buildsite.kinds import across
from buildsite.record.flags import Field, Flag, Severity, field_label
from buildsite.record.issued import kept_result
from buildsite.record.source import Source

NAMES = frozenset(one.flag for one in across.KNOWN)
PART = re.compile(r"\.?([A-Za-z_]\w*)|\[([0-9]+)\]", re.ASCII)
MIDDLE = "; expected: "


def stated_flags(result: bytes | None, source: Source) -> tuple[Flag, ...]:
    """Return the warnings from comparing tests that a kept result states."""
    given = kept_result(result).get("flags", ())
    rows = given if isinstance(given, list) else ()
    return tuple(
        flag
        for row in rows
        if isinstance(row, Mapping) and row.get("flag") in NAMES
        for flag in read_back(row, source)
    )


def read_back(row: Mapping[str, Any], source: Source) -> Iterator[Flag]:
    """Yield the flag that a row of a kept result was written from."""
    field = field_of_path(str(row.get("field", "")))
    label = field_label(field)
    begins = f"{label}: found " if label else "found "
    message, severity = str(row.get("message", "")), row.get("severity")
    if not message.startswith(begins) or severity not in (*map(str, Severity),):
        return
    found, _, expected = message.removeprefix(begins).partition(MIDDLE)
    line, column = source.place(field)
    yield Flag(
        flag=str(row["flag"]),
        severity=Severity(severity),
        basis=str(row.get("basis", "")),
        file=source.file,
        line=line,
        column=column,
        field=field,
        found=found,
        expected=expected,
        mend="",
    )


def field_of_path(path: str) -> Field:
    """
    Return a field from its text.

    >>> field_of_path("points[1].container_and_dry"), field_of_path("")
    (('points', 1, 'container_and_dry'), ())
    """
    return tuple(name or int(number) for name, number in PART.findall(path))
