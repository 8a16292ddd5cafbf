"""Two sheets laid side by side."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from buildsite.kinds.across import doubts
from buildsite.kinds.traces import ContainerUse, MoldUse, Trace

USE = MoldUse("M-1", date(2026, 3, 10), 2.000, 0.001, "mold", "2000 g", ("mold_mass",))
FIRST = Trace("a.yaml", "A", (USE,), ((("points", 0), ("1", "2", "3", "4")),))


def later(mass: float, id: str = "B", **about: Any) -> Trace:
    use = USE._replace(mass_kg=mass, **{"on": date(2026, 3, 11), **about})
    return Trace(f"{id.lower()}.yaml", id, (use,), ())


def found(*traces: Trace) -> list[tuple[str, str, str]]:
    return [(known.flag, file, doubt.expected) for known, file, doubt in doubts(traces)]


# common practice: a clean mold weighs the same within 5 g, or the balance's last place
@pytest.mark.parametrize(
    ("mass", "changed"), [(2.005, False), (1.995, False), (2.006, True), (1.994, True)]
)
def test_a_mold_that_weighs_otherwise_than_last_time(
    mass: float, *, changed: bool
) -> None:
    expected = [("mold-mass-changed", "b.yaml", "2000 g, as for A on 2026-03-10")]

    assert found(FIRST, later(mass)) == (expected if changed else [])


def test_a_coarse_balance_is_given_its_last_place() -> None:
    assert found(FIRST, later(2.010, resolution_kg=0.01)) == []


def test_another_mold_or_the_mold_with_its_plate_is_not_compared() -> None:
    assert found(FIRST, later(3.0, mold="M-2")) == []
    assert found(FIRST, later(3.0, weighed_with="mold and base plate")) == []


def test_each_use_is_compared_with_the_one_before_it_whatever_the_order_read() -> None:
    second, third = later(2.020), later(2.020, "C", on=date(2026, 3, 12))

    expected = [("mold-mass-changed", "b.yaml", "2000 g, as for A on 2026-03-10")]
    assert found(third, second, FIRST) == expected
    assert found(FIRST, second, third) == expected


def test_all_readings_of_a_point_in_two_tests() -> None:
    copied = Trace("b.yaml", "B", (), FIRST.readings)
    other = Trace("c.yaml", "C", (), ((("points", 0), ("1", "2", "3", "5")),))
    again = replace(FIRST, readings=FIRST.readings * 2)  # twice in one test: not ours

    expected = [("readings-in-two-tests", "b.yaml", "its own readings")]
    assert found(copied, FIRST, other) == expected
    assert found(again) == []


def of_project(one: Trace, project: str) -> Trace:
    return replace(one, file=f"records/{project}/tests/{one.id}.yaml")


def test_a_test_of_another_project_is_named_to_the_laboratory_alone() -> None:
    copied = replace(later(2.020), readings=FIRST.readings)
    apart = [of_project(FIRST, "quay"), of_project(copied, "flats")]
    together = [of_project(FIRST, "flats"), of_project(copied, "flats")]

    for _, file, doubt in doubts(apart):
        assert file == "records/flats/tests/B.yaml"
        printed = f"{doubt.found} {doubt.expected}"
        assert "a test of another project" in printed
        assert "quay" not in printed
        assert "(the other test is A)" in doubt.mend
    for _, _, doubt in doubts(together):
        assert "another project" not in f"{doubt.found} {doubt.expected} {doubt.mend}"
    assert len(list(doubts(apart))) == len(list(doubts(together))) == 2


def weighed(
    id: str, grams: float, day: int, label: str = "21", step: float = 0.01
) -> Trace:
    on = date(2026, 3, day)
    field = ("points", 0, "container_mass")
    use = ContainerUse(label, on, grams / 1000, step / 1000, f"{grams} g", field)
    return Trace(f"{id.lower()}.yaml", id, (), (), on=on, containers=(use,))


# common practice: a clean container weighs the same within 0.1 g, a heavy one 0.1 %
@pytest.mark.parametrize(
    ("first", "second", "changed"),
    [
        (30.84, 30.94, False),
        (30.84, 30.95, True),
        (30.84, 40.84, True),  # 10 g on one container: the optimum moves by 0.6
        (30.84, 3.084, True),
        (400.0, 400.4, False),
        (400.0, 400.5, True),
    ],
)
def test_a_container_that_weighs_otherwise_than_its_number_in_another_test(
    first: float, second: float, *, changed: bool
) -> None:
    expected = [
        ("container-mass-changed", "b.yaml", f"{first} g, as for A on 2026-03-01")
    ]

    assert found(weighed("B", second, 2), weighed("A", first, 1)) == (
        expected if changed else []
    )


def test_a_container_on_a_coarse_balance_is_given_its_step() -> None:
    assert found(weighed("A", 30.8, 1), weighed("B", 31.0, 2, step=1)) == []


def test_a_container_that_agrees_with_any_other_test_is_not_questioned() -> None:
    wrong, third = weighed("B", 40.84, 2), weighed("C", 30.85, 3)

    flagged = found(weighed("A", 30.84, 1), wrong, third)

    assert [file for _, file, _ in flagged] == ["b.yaml"]


def test_an_error_of_long_ago_excuses_none_today() -> None:
    days = [(30.84, day) for day in range(2, 9)]
    masses = [(40.84, 1), *days, (40.84, 9), *((30.84, day) for day in range(10, 13))]
    tests = [weighed(f"T{i:02}", mass, day) for i, (mass, day) in enumerate(masses)]

    flagged = [file for _, file, _ in found(*tests)]

    assert flagged == ["t00.yaml", "t08.yaml"]


def test_the_first_weighing_is_questioned_once_two_later_ones_agree() -> None:
    wrong, second, third = (
        weighed("A", 40.84, 1),
        weighed("B", 30.84, 2),
        weighed("C", 30.85, 3),
    )

    assert [file for _, file, _ in found(wrong, second)] == ["b.yaml"]
    assert [file for _, file, _ in found(wrong, second, third)] == ["a.yaml"]


def test_another_number_or_a_container_twice_in_one_test_is_not_compared() -> None:
    one, other = weighed("A", 30.84, 1), weighed("B", 52.13, 2, label="22")
    twice = replace(one, containers=one.containers + weighed("A", 52, 1).containers)

    assert found(one, other) == []
    assert found(twice) == []
