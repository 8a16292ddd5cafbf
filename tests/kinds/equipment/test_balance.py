"""A balance on its check masses, and by the error that was certified."""

import pytest

from tests.kinds.making import made

BALANCE = (
    "kind: balance\nid: T-1\nreadability: {readability}\n"
    "calibrations: [{{on: 2026-01-12, "
    "check_masses: [{{mass: {mass}, read: {read}}}]}}]\n"
)


@pytest.mark.parametrize(
    ("readability", "mass", "read", "flags"),
    [
        # AASHTO M 231 (from memory): twice the readability, or 0.1 % of the load
        ("0.1", "100", "100.2", 0),
        ("0.1", "100", "100.3", 1),
        ("0.1", "500", "499.5", 0),
        ("0.1", "500", "499.4", 1),
        ("1", "500", "502", 0),
        ("1", "500", "503", 1),
    ],
)
def test_a_balance_on_its_check_masses(
    readability: str, mass: str, read: str, flags: int
) -> None:
    text = BALANCE.format(readability=readability, mass=mass, read=read)

    assert [flag.flag for flag in made(text).flags] == ["balance-off"] * flags


def test_a_largest_error_is_judged_by_the_capacity_where_that_is_stated() -> None:
    text = "kind: balance\nid: T-1\nreadability: 1\n{}calibrations: [{}]\n"
    error = "{on: 2026-01-12, largest_error: 21}"

    flags = made(text.format("capacity: 20000\n", error)).flags

    assert [flag.flag for flag in flags] == ["balance-off"]
    assert made(text.format("", error)).flags == ()
