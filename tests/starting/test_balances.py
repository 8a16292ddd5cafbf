"""`new` never picks a balance that is too small or too coarse for the work."""

import pytest

from buildsite.starting.surroundings import Surroundings
from tests.kinds.making import archive, kind

BALANCE = """format: 1
kind: balance
id: B-1
readability: {readability}
capacity: {capacity}
calibrations: [{{on: 2026-01-14, next_due: 2027-01-14}}]
"""
ON = {"on": "2026-03-10", "method": "none"}


def chosen(name: str, place: str, readability: str, capacity: str, **told: str) -> str:
    """What is put in a place of a new test, with one balance in the laboratory."""
    text = BALANCE.format(readability=readability, capacity=capacity)
    found = archive({"records/equipment/B-1.yaml": text})
    return Surroundings(found).known(kind(name), {**ON, **told})[place]


# The loads: a 500 mL pycnometer full of soil and water weighs some 0.7 to 0.8 kg, a
# filled 4 in mold with its base plate some 6.5 kg (4.2 kg empty), a filled 6 in mold
# some 12 kg: common practice. Coarse particles of 1 in: at least 4 kg (AASHTO T 85,
# from memory). Readability: T 100 0.01 g, T 85 1 g, T 265 0.1 g, T 99 5 g or 0.01 lb,
# as in the tables of the standards.
@pytest.mark.parametrize(
    ("name", "place", "fits", "unfit", "told"),
    [
        (
            "specific-gravity",
            "balance",
            ("0.01", "2200"),
            [("0.01", "500"), ("0.1", "2200")],
            {"standard": "AASHTO T 100"},
        ),
        (
            "water-content",
            "moisture_balance",
            ("0.1", "500"),
            [("0.1", "200"), ("1", "500")],
            {"standard": "AASHTO T 265"},
        ),
        (
            "coarse-fraction",
            "gravity_balance",
            ("1", "6000"),
            [("1", "3000"), ("2", "6000")],
            {"standard": "AASHTO T 85", "sieve": "3/4 in"},
        ),
        (
            "coarse-fraction",
            "balance",
            ("5", "16000"),
            [("5", "2200"), ("50", "16000")],
            {"standard": "AASHTO T 85", "sieve": "No. 4"},
        ),
        (
            "moisture-density",
            "balance",
            ("1", "16000"),
            [("1", "5000"), ("10", "16000")],
            {"standard": "AASHTO T 99", "method": "A", "compacted_unit": "g"},
        ),
        (
            "moisture-density",
            "balance",
            ("1", "16000"),
            [("1", "8000")],
            {"standard": "AASHTO T 99", "method": "D", "compacted_unit": "g"},
        ),
        (
            "moisture-density",
            "moisture_balance",
            ("0.1", "2200"),
            [("0.1", "150"), ("1", "2200")],
            {"standard": "AASHTO T 99", "method": "A", "compacted_unit": "g"},
        ),
    ],
)
def test_a_balance_is_picked_by_load_and_readability(
    name: str,
    place: str,
    fits: tuple[str, str],
    unfit: list[tuple[str, str]],
    told: dict[str, str],
) -> None:
    assert chosen(name, place, *fits, **told) == "B-1"
    for each in unfit:
        assert chosen(name, place, *each, **told) == ""


def test_c127_asks_for_half_a_gram() -> None:
    told = {"standard": "ASTM C127", "sieve": "No. 4"}  # C127-15, 6.1
    assert chosen("coarse-fraction", "gravity_balance", "0.5", "6000", **told) == "B-1"
    assert chosen("coarse-fraction", "gravity_balance", "1", "6000", **told) == ""
