"""Data classes that share their methods behave as the standard library's do."""

import dataclasses
import pickle
from typing import Any

import pytest

from buildsite.values import OFTEN, dataclass


@dataclass(frozen=True)
class Point:
    mass: int
    note: str = ""
    dried: list[int] = dataclasses.field(default_factory=list, compare=False)


@dataclass(frozen=True)
class Drawn(Point):
    name: str = dataclasses.field(default="P", repr=False)

    def __post_init__(self) -> None:
        if not self.name:
            raise ValueError("no name")


@dataclass
class Counted:
    number: int = 0


def test_fields_are_given_by_place_or_name_and_have_defaults() -> None:
    point = Point(3, note="wet")

    assert (point.mass, point.note, point.dried) == (3, "wet", [])
    assert Point(1).dried is not Point(1).dried
    assert [field.name for field in dataclasses.fields(Drawn)] == [
        "mass",
        "note",
        "dried",
        "name",
    ]


@pytest.mark.parametrize(
    ("args", "given"),
    [
        ((), {}),
        ((), {"note": "wet"}),
        ((), {"weight": 3}),
        ((3,), {"mass": 3}),
        ((3,), {"weight": 3}),
        ((3, "wet", [], 4), {}),
    ],
)
def test_what_is_missing_unknown_or_given_twice_is_refused(
    args: tuple[Any, ...], given: dict[str, Any]
) -> None:
    with pytest.raises(TypeError, match="takes, each once: mass, note, dried"):
        Point(*args, **given)


def test_equality_hash_and_text_go_by_the_fields_that_count() -> None:
    assert Point(3, dried=[1]) == Point(3, dried=[2])
    assert hash(Point(3, dried=[1])) == hash(Point(3, dried=[2]))
    assert Point(3) != Point(4)
    assert Point(3) != Drawn(3)
    assert repr(Drawn(3)) == "Drawn(mass=3, note='', dried=[])"


def test_a_frozen_one_does_not_change_and_another_does() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(Point(3), "mass", 4)  # noqa: B010 — a checker refuses the plain form
    with pytest.raises(TypeError):
        hash(Counted())
    counted = Counted()

    counted.number += 1

    assert counted == Counted(1)


def test_the_standard_tools_and_pickle_take_them() -> None:
    drawn = Drawn(3, "wet", [1], "Q")

    assert dataclasses.replace(drawn, mass=4) == Drawn(4, "wet", [1], "Q")
    assert dataclasses.asdict(Point(3)) == {"mass": 3, "note": "", "dried": []}
    assert pickle.loads(pickle.dumps(drawn)) == drawn  # noqa: S301 — our own bytes
    with pytest.raises(ValueError, match="no name"):
        dataclasses.replace(drawn, name="")


def test_a_class_of_which_many_are_made_behaves_as_before() -> None:
    for _ in range(OFTEN):
        Drawn(3, name="Q")

    drawn = Drawn(3, dried=[1])

    assert (drawn.mass, drawn.note, drawn.dried, drawn.name) == (3, "", [1], "P")
    assert Drawn(1).dried is not Drawn(1).dried
    assert drawn == Drawn(3, "", [2], "P")
    with pytest.raises(ValueError, match="no name"):
        Drawn(3, name="")
    wrong: list[tuple[tuple[Any, ...], dict[str, Any]]]
    wrong = [((), {}), ((3,), {"mass": 3}), ((3,), {"weight": 3})]
    for args, given in wrong:
        with pytest.raises(TypeError):
            Drawn(*args, **given)
