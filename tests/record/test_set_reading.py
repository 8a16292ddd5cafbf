"""A reading written where none stood: that one, and not a byte beside it."""

import re
from pathlib import Path

import pytest

from buildsite.record.changes import changes
from buildsite.record.flags import Field
from buildsite.record.set_field import CannotAmend
from buildsite.record.set_reading import add_item, set_reading, without_blank_lines
from buildsite.record.source import read_source

RECORD = """\
# A bench sheet.
id: X-1  # its id
mass:        # as weighed
oven: {in: , out: }   # by the clock
act: {on: 2026-03-10}   # who
empty: {}
none: []
deep: {list: []}
dried:
  # from the oven
  on: 2026-03-11  # early
points:
  - {water: 0, mass: 8.52}   # first
  - {water: , mass: , container: , wet:  }
  # the third was read twice
  - mass: 8.64
    note: wet
    # left early
tail:
remarks: |
  one
  two
"""


def written(field: Field, value: str, text: str = RECORD) -> str:
    return set_reading(read_source("r.yaml", text.encode()), field, value).decode()


@pytest.mark.parametrize(
    ("field", "value", "was", "now"),
    [
        (("mass",), "4.41", "mass:     ", "mass: 4.41     "),
        (("oven", "in"), "x", "{in: ,", "{in:  x,"),
        (("oven", "temperature_c"), "110", "out: }", "out:  , temperature_c: 110}"),
        (("act", "by"), "T07", "2026-03-10}", "2026-03-10, by: T07}"),
        (("empty", "a"), "1", "empty: {}", "empty: {a: 1}"),
        (("none", 0, "a"), "1", "none: []\n", "none:\n  - {a: 1}\n"),
        (("deep", "list", 0), "1", "list: []", "list: [1]"),
        (("dried", "by"), "T04", "# early\n", "# early\n  by: T04\n"),
        (("points", 0, "container"), '"21"', "mass: 8.52}",
         'mass: 8.52, container: "21"}'),
        (("points", 1, "wet"), "1", "wet:  }", "wet: 1  }"),
        (("points", 2, "dry"), "1.0", "note: wet\n", "note: wet\n    dry: 1.0\n"),
        (("points", 3, "mass"), "8.70", "note: wet\n",
         "note: wet\n  - {mass: 8.70}\n"),
        (("tail", "a", "b"), "1", "tail:", "tail: {a: {b: 1}}"),
        (("tail", 0, "b"), "1", "tail:\n", "tail:\n  - {b: 1}\n"),
        (("new", "a"), "1", "  two\n", "  two\nnew: {a: 1}\n"),
        (("id",), "X-2", "X-1 ", "X-2 "),
        (("remarks",), '"one; three"', "|\n  one\n  two\n", '"one; three"\n'),
    ],
)  # fmt: skip
def test_a_value_is_put_where_it_belongs(
    field: Field, value: str, was: str, now: str
) -> None:
    assert RECORD.count(was) == 1
    got = written(field, value)
    wanted = RECORD.replace(was, now)
    # How many blanks stand around a value is the text's own business.
    assert got.replace(" ", "") == wanted.replace(" ", "")
    assert got.splitlines()[0] == RECORD.splitlines()[0]


def test_a_text_without_a_last_line_end_gets_one() -> None:
    assert written(("b",), "2", "a: 1") == "a: 1\nb: 2\n"


def test_a_list_that_was_not_there_is_made() -> None:
    assert written(("points", 0, "mass"), "1", "a: 1\n") == (
        "a: 1\npoints: [{mass: 1}]\n"
    )


@pytest.mark.parametrize(
    ("field", "value"),
    [
        (("points",), "[]"),
        (("dried",), "{on: 2026-03-12}"),
        (("act", "by"), "T08 # and a comment"),
        (("id",), "X-2\nother: 1"),
        (("id",), "{a: 1"),
    ],
)
def test_what_would_move_more_is_refused(field: Field, value: str) -> None:
    with pytest.raises(CannotAmend):
        written(field, value)


def test_blank_lines_come_off_the_end_of_a_list_and_no_others() -> None:
    text = (
        "points:\n  - {a: }\n  - {a: 1} # kept\n  - {a: , b: }\n  - {a: }\n"
        "oven: {in: }\n"
    )
    source = read_source("r.yaml", text.encode())

    assert without_blank_lines(source, ("points",)).decode() == (
        "points:\n  - {a: }\n  - {a: 1} # kept\noven: {in: }\n"
    )
    assert without_blank_lines(source, ("points",), least=3).decode() == (
        "points:\n  - {a: }\n  - {a: 1} # kept\n  - {a: , b: }\noven: {in: }\n"
    )


def test_blank_entries_come_out_of_brackets_too() -> None:
    source = read_source("r.yaml", b"points: [{a: 1}, {a: }]\n")

    assert without_blank_lines(source, ("points",)) == b"points: [{a: 1}]\n"


RECORDS = Path(__file__).parents[2] / "records"
DRY = re.compile(r", container_and_dry: ([0-9.]+)(?=\})")
TESTS = [
    path
    for path in sorted(RECORDS.glob("*/tests/*.yaml"))
    if DRY.search(path.read_text())
]


@pytest.mark.parametrize("path", TESTS, ids=lambda path: path.stem)
def test_readings_taken_out_of_a_record_and_put_back_leave_no_trace(path: Path) -> None:
    whole = path.read_bytes()
    data = DRY.sub("", whole.decode()).encode()
    wanting = changes(
        read_source("r.yaml", data).tree, read_source("r.yaml", whole).tree
    )

    for change in wanting:
        data = set_reading(read_source("r.yaml", data), change.field, change.new)

    assert wanting
    assert data == whole


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("id: A\n", "id: A\nbags:\n  - bag: 14\n    sand: x\n"),
        (
            "bags:   # labels\nid: A\n",
            "bags:   # labels\n  - bag: 14\n    sand: x\nid: A\n",
        ),
        (
            "bags:\n- bag: 13\n  sand:\nid: A\n",
            "bags:\n- bag: 13\n  sand:\n- bag: 14\n  sand: x\nid: A\n",
        ),
        ("bags: [{bag: 13}]\n", "bags: [{bag: 13}, {bag: 14, sand: x}]\n"),
    ],
)
def test_an_item_of_several_lines_joins_its_list(text: str, after: str) -> None:
    source = read_source("A.yaml", text.encode())

    made = add_item(source, ("bags",), ("bag: 14", "sand: x"), "{bag: 14, sand: x}")

    assert made.decode() == after
