"""A state of a file read from another one is what reading the whole file gives."""

from itertools import cycle

import pytest

from buildsite.record.source import read_source
from buildsite.record.source_again import _read_changed, read_again

RECORD = b"""\
# An invented record.
format: 1
id: A-1
kind: moisture-density
remarks: >
  sand, with
  some gravel

notes: |+
  as found

sample: "A,
  layer 2"
units: {mass: g,
  density: kg/m3}
points:
- {wet: 2001, dry: 1830}   # zero indented
- {wet: 2075, dry: 1862}
- wet: 2090
  dry: 1850
accepted:
  - {flag: mold-missing, by: KR}
reviewed: {by: KR, on: 2026-03-04}
"""

LINES = (
    "- x",
    "  more",
    "# c",
    "  # c",
    "a: [1,",
    "b: 2]",
    '"',
    'a: "x',
    '  y"',
    "r: 'it",
    "...",
    "---",
    "%A",
    "x: &a 1",
    "v: *a",
    "z: |+\n  t\n\n",
    "z: >",
    "\tq",
    "q:",
    "",
    "id: 7",
    "? a",
    ": b",
    '"k": 1',
    "k: {a: 1",
    "}",
    " y: 1",
    "k: nan",
    "<<: 1",
    "<<<<<<< a",
    "x: \u2028",
    "\ufeffx: 1",
    "x: 1\r",
)
"""Lines that begin, end or spoil a field."""


def same(data: bytes) -> bool:
    """Whether only a part was read; it must be what the whole gives."""
    known, whole = read_source("a.yaml", RECORD), read_source("a.yaml", data)
    again, part = read_again(known, data), _read_changed(known, data)
    assert again == whole
    assert [*again.tree] == [*whole.tree]
    assert again.places == whole.places
    return part is not None


def test_a_changed_reading_is_read_alone() -> None:
    assert same(RECORD.replace(b"2075", b"2076"))
    assert same(RECORD.replace(b"KR, on", b"JB, on"))
    assert same(RECORD.replace(b"reviewed: {by: KR, on: 2026-03-04}\n", b""))
    assert same(RECORD + b"status: complete\n")
    assert same(RECORD)


@pytest.mark.parametrize("line", LINES)
def test_a_line_put_anywhere(line: str) -> None:
    lines = RECORD.splitlines(keepends=True)
    for place in range(len(lines) + 1):
        put = f"{line}\n".encode()
        same(b"".join([*lines[:place], put, *lines[place:]]))
        same(b"".join([*lines[:place], put, *lines[place + 1 :]]))


def test_characters_changed_anywhere() -> None:
    signs, parts = cycle(b"1x \"'[]{}:,#-|>\n&!?%\xff"), 0
    for place, sign in zip(range(len(RECORD)), signs, strict=False):
        gone = place // 20 % 2
        parts += same(RECORD[:place] + bytes([sign]) + RECORD[place + gone :])
        parts += same(RECORD[:place] + RECORD[place + 1 :])
    assert parts > len(RECORD) / 2


def test_a_faulty_state_is_no_base() -> None:
    for faulty in (b"a: [1,\n", b"a:\nb: 1\n", b"- 1\n", b"a: 1\n a: 2\n"):
        known = read_source("a.yaml", faulty)
        assert read_again(known, RECORD) == read_source("a.yaml", RECORD)
