"""Changes, field by field."""

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.record.changes import Change, changes

BASE: dict[str, Any] = {
    "id": "HF-0117",
    "units": {"compacted": "lb", "moisture": "g"},
    "layers": "5",
    "reviewed": None,
    "points": [
        {"container": "21", "container_and_dry": "127.21"},
        {"container": "08", "container_and_dry": "129.61"},
        {"container": "11", "container_and_dry": "126.40"},
    ],
}
NEW_POINT = {"container": "14", "container_and_dry": "128.65"}


def test_nothing_differs_from_itself() -> None:
    assert changes(BASE, deepcopy(BASE)) == ()


def test_a_reading_read_again_is_one_change() -> None:
    new = deepcopy(BASE)
    new["points"][1]["container_and_dry"] = "129.16"

    (change,) = changes(BASE, new)

    assert change == Change(("points", 1, "container_and_dry"), "129.61", "129.16")
    assert change.sort == "changed"
    assert str(change) == "point 2, container_and_dry: 129.61 → 129.16"


def test_a_last_zero_is_a_change() -> None:
    (change,) = changes({"mold_mass": "4.4"}, {"mold_mass": "4.40"})

    assert str(change) == "mold_mass: 4.4 → 4.40"


def test_units_come_first() -> None:
    new = {**deepcopy(BASE), "id": "HF-0118", "layers": "3"}
    new["units"] = {"compacted": "kg", "moisture": "g"}

    assert [str(change) for change in changes(BASE, new)] == [
        "units.compacted: lb → kg",
        "id: HF-0117 → HF-0118",
        "layers: 5 → 3",
    ]


def test_blank_and_absent_are_the_same() -> None:
    new = {name: value for name, value in BASE.items() if name != "reviewed"}

    assert changes(BASE, new) == changes(new, BASE) == ()


def test_a_part_that_comes_is_told_field_by_field() -> None:
    new = {**BASE, "reviewed": {"on": "2026-03-13", "by": "E02"}}

    assert changes(BASE, new) == (
        Change(("reviewed", "on"), None, "2026-03-13"),
        Change(("reviewed", "by"), None, "E02"),
    )
    assert [change.sort for change in changes(BASE, new)] == ["added", "added"]
    assert [change.sort for change in changes(new, BASE)] == ["removed", "removed"]


@pytest.mark.parametrize("index", [0, 1, 2, 3])
def test_a_point_put_in_anywhere_is_one_change(index: int) -> None:
    new = deepcopy(BASE)
    new["points"].insert(index, NEW_POINT)

    assert changes(BASE, new) == (Change(("points", index), None, NEW_POINT),)
    assert changes(new, BASE) == (Change(("points", index), NEW_POINT, None),)


def test_a_point_of_many_words_is_shown_on_one_line() -> None:
    (change,) = changes({"points": []}, {"points": [{"container": "14", "x": ["1"]}]})

    assert str(change) == "point 1: not stated → {container: 14, x: [1]}"


def test_a_point_changed_and_one_added_are_two_changes() -> None:
    new = deepcopy(BASE)
    new["points"][2]["container"] = "17"
    new["points"].append(NEW_POINT)

    assert changes(BASE, new) == (
        Change(("points", 2, "container"), "11", "17"),
        Change(("points", 3), None, NEW_POINT),
    )


def test_points_changed_in_place_keep_their_numbers() -> None:
    new = deepcopy(BASE)
    new["points"].reverse()

    assert [change.field for change in changes(BASE, new)] == [
        ("points", 0, "container"),
        ("points", 0, "container_and_dry"),
        ("points", 2, "container"),
        ("points", 2, "container_and_dry"),
    ]


def test_another_shape_is_one_change() -> None:
    (change,) = changes({"a": "1"}, {"a": ["1", "2"]})

    assert change == Change(("a",), "1", ["1", "2"])


def test_text_that_does_not_show_is_spelled_out() -> None:
    (change,) = changes({"remarks": ""}, {"remarks": "two\nlines"})

    assert str(change) == r"remarks: '' → 'two\nlines'"


def test_a_record_that_comes_is_all_added() -> None:
    assert {change.sort for change in changes({}, BASE)} == {"added"}
    assert {change.sort for change in changes(BASE, {})} == {"removed"}


SCALARS = st.none() | st.text(max_size=3)
TREES = st.dictionaries(
    st.sampled_from(["units", "a", "b", "points"]),
    st.recursive(
        SCALARS,
        lambda inner: (
            st.lists(inner, max_size=4)
            | st.dictionaries(st.sampled_from("xyz"), inner, max_size=3)
        ),
        max_leaves=10,
    ),
)


def bare(value: Any) -> Any:
    """Leave out what says nothing: blanks, and mappings and lists of them alone."""
    if isinstance(value, dict):
        kept = {name: bare(inner) for name, inner in value.items()}
        return {n: inner for n, inner in kept.items() if inner is not None} or None
    if isinstance(value, list):
        return [bare(inner) for inner in value] or None
    return value


@given(TREES, TREES)
def test_no_change_means_the_same_record(old: Any, new: Any) -> None:
    if not changes(old, new):
        assert bare(old) == bare(new)


@given(TREES, TREES)
def test_back_is_the_mirror_of_forth(old: Any, new: Any) -> None:
    there = {(c.field, repr(c.old), repr(c.new)) for c in changes(old, new)}
    back = {(c.field, repr(c.new), repr(c.old)) for c in changes(new, old)}

    assert there == back
