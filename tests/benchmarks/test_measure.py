"""Ratios and bounds, on seconds that are given."""

from tests.benchmarks.measure import Line, at_most, faster, in_turn

SLOW = Line("slow", (9.0, 10.0, 12.0), 5, "test")  # 2 s a test
FAST = Line("fast", (1.0,), 4, "test")  # 0.25 s a test


def test_a_ratio_compares_units_not_processes() -> None:
    assert at_most(SLOW, FAST).ratio == 8
    assert faster(FAST, SLOW, 7).ratio == 8


def test_a_bound_is_kept_up_to_its_own_value() -> None:
    assert at_most(SLOW, FAST, 8).kept
    assert not at_most(SLOW, FAST, 7.9).kept
    assert faster(FAST, SLOW, 8).kept
    assert not faster(FAST, SLOW, 8.1).kept


def test_things_are_measured_in_turn() -> None:
    order: list[str] = []

    def once(name: str, number: int) -> float:
        order.append(f"{name}{number}")
        return float(number)

    found = in_turn({"a": lambda n: once("a", n), "b": lambda n: once("b", n)}, 3)

    assert order == ["a0", "b0", "a1", "b1", "a2", "b2"]
    assert found["a"] == (0.0, 1.0, 2.0)
