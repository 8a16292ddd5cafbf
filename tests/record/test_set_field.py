"""One field set in a record's text: that one, and not a byte beside it."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from buildsite.record.flags import Field
from buildsite.record.issued import quoted
from buildsite.record.set_field import CannotAmend, set_field
from buildsite.record.source import read_source
from buildsite.record.unseen import UNSEEN

RECORD = """\
# A bench sheet.
id: X-1  # its id
reviewed:   # nobody yet
act: {on: 2026-03-10, by: T07}   # who

dried:
  # from the oven
  on: 2026-03-11
  by: "T04" # left early
points:
  - {mass: 8.52, containers: [{id: "21"}, {id: "08"}]}
  - mass: 8.64   # read twice
    note: 'it''s wet'
status: complete
"""


def put(field: Field, value: str, before: str = "", text: str = RECORD) -> str:
    return set_field(
        read_source("r.yaml", text.encode()), field, value, before
    ).decode()


@pytest.mark.parametrize(
    ("field", "value", "was", "now"),
    [
        (("id",), "X-2", "id: X-1 ", "id: X-2 "),
        (("status",), "withdrawn", "status: complete", "status: withdrawn"),
        (("reviewed",), "{on: 2026-03-12, by: E02}", "reviewed:   #",
         "reviewed: {on: 2026-03-12, by: E02}   #"),
        (("act",), "{by: E02}", "{on: 2026-03-10, by: T07}", "{by: E02}"),
        (("act", "by"), "T08", "by: T07", "by: T08"),
        (("dried", "on"), "2026-03-12", "on: 2026-03-11", "on: 2026-03-12"),
        (("dried", "by"), "T05", '"T04"', "T05"),
        (("points", 0, "containers", 1, "id"), '"09"', '"08"', '"09"'),
        (("points", 1, "mass"), "8.46", "8.64", "8.46"),
        (("points", 1, "note"), "dry", "'it''s wet'", "dry"),
    ],
)  # fmt: skip
def test_a_value_is_replaced_where_it_stands(
    field: Field, value: str, was: str, now: str
) -> None:
    assert RECORD.count(was) == 1
    assert put(field, value) == RECORD.replace(was, now)


def test_a_new_field_stands_before_the_one_named_or_last() -> None:
    line = "remarks: none\n"

    assert put(("remarks",), "none", "status") == RECORD.replace(
        "status:", f"{line}status:"
    )
    assert put(("remarks",), "none") == RECORD + line
    assert put(("remarks",), "none", text="a: 1") == f"a: 1\n{line}"


@pytest.mark.parametrize(
    ("field", "value"),
    [
        (("dried",), "{on: 2026-03-12}"),  # over several lines, with a comment inside
        (("points",), "[]"),
        (("act", "why"), "late"),  # absent, and not of the record itself
        (("id",), "X-2\nother: 1"),
        (("act", "by"), "T08 # and a comment"),
        (("id",), "{a: 1"),
        (("id",), "&anchor X"),
    ],
)
def test_what_would_move_more_is_refused(field: Field, value: str) -> None:
    with pytest.raises(CannotAmend):
        put(field, value)


def test_a_record_that_cannot_be_read_is_left_alone() -> None:
    with pytest.raises(CannotAmend, match="can't be read"):
        put(("id",), "X-2", text="id: [")


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1))
def test_any_text_can_be_set_and_is_read_back_as_it_was(text: str) -> None:
    assume(not UNSEEN.search(text))  # which no record may hold

    after = read_source("r.yaml", put(("act", "by"), quoted(text)).encode())

    assert after.tree["act"]["by"] == text
