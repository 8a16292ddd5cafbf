"""Empty containers in every kind of test: zero, tared, unlike their fellows."""

from collections.abc import Iterator
from decimal import Decimal

import pytest

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Table
from buildsite.kinds.tests.shared.empty_containers import is_decimal_slip
from tests.archives import archive_of, changed

WATER = (
    "marsh-lane/tests/ML-103.yaml",
    "container_mass: 31.20, container_and_wet: 171.20, container_and_dry: 154.55",
    "container_mass: 0, container_and_wet: 140.00, container_and_dry: 123.35",
    "units: {moisture: g}",
    "water-content",
)
SPLIT = (
    "marsh-lane/tests/ML-104.yaml",
    "container_mass: 181.20, container_and_wet: 581.20, container_and_dry: 576.26",
    "container_mass: 0.00, container_and_wet: 400.00, container_and_dry: 395.06",
    "split_masses: moist",
    "coarse-fraction",
)
SOLIDS = (
    "marsh-lane/tests/GS-1.yaml",
    "dry_soil: 50.02",
    "container: A, container_mass: 0.00, container_and_dry: 50.02",
    "specimen: oven-dry",
    "specific-gravity",
)
COMPACTED = (
    "marsh-lane/tests/ML-101.yaml",
    "container_mass: 31.42, container_and_wet: 162.79, container_and_dry: 147.04",
    "container_mass: 0, container_and_wet: 131.37, container_and_dry: 115.62",
    "water_added: each",
    "",
)
Row = tuple[str, str, str, str, str]
EACH = pytest.mark.parametrize(
    "row", [WATER, SPLIT, SOLIDS, COMPACTED], ids=lambda row: row[4] or "compaction"
)


def made(row: Row, *, zero: bool, tared: str = "") -> Outcome:
    """One test, with a container that reads 0, and what is said of the balance."""
    file, was, now, line, beside = row
    pairs = [[was, now]] if zero else []
    if tared:
        pairs.append([line, f"{line}\nbalance_tared: {tared}"])
    files = changed({file: pairs}, (), [beside] if beside else [])
    found = archive_of(files).outcome(f"records/{file}")
    assert found is not None
    return found


def flags(found: Outcome) -> list[str]:
    return [flag.flag for flag in found.flags if "container" in flag.flag]


@EACH
def test_a_container_of_no_mass_is_an_error_unless_the_balance_was_tared(
    row: Row,
) -> None:
    assert flags(made(row, zero=True)) == ["container-mass-zero"]
    assert flags(made(row, zero=True, tared="no")) == ["container-mass-zero"]
    assert flags(made(row, zero=True, tared="yes")) == []
    assert flags(made(row, zero=False)) == []


@EACH
def test_the_same_soil_gives_the_same_result_on_a_tared_balance(row: Row) -> None:
    weighed, tared = made(row, zero=False), made(row, zero=True, tared="yes")

    assert {k: one.reported for k, one in tared.results.items()} == {
        k: one.reported for k, one in weighed.results.items()
    }


def rows(found: Outcome) -> Iterator[str]:
    for block in found.sheet().blocks:
        if isinstance(block, Table):
            yield from (" ".join(cell.text for cell in row.cells) for row in block.rows)


@EACH
def test_the_report_says_that_the_balance_was_tared(row: Row) -> None:
    told = "Empty containers Balance set to zero with each on it"

    assert told in list(rows(made(row, zero=True, tared="yes")))
    assert told not in list(rows(made(row, zero=False)))


@pytest.mark.parametrize(
    ("mass", "slip"), [("6.2", True), ("6.3", False), ("154", False), ("155", True)]
)
def test_a_decimal_place_is_five_times_the_middle_of_the_others(
    mass: str, *, slip: bool
) -> None:
    # common practice; the middle of the others is 31 g: 31 / 5 = 6.2, 31 · 5 = 155
    others = [Decimal(one) for one in ("30", "31", "33")]

    assert is_decimal_slip(Decimal(mass), others) == slip
    assert not is_decimal_slip(Decimal(mass), [])


def test_one_wrong_container_of_two_does_not_make_the_third_one_unlike() -> None:
    # 30.98 g is like 31.05 g; 2001 g, the mold typed for a container, is the odd one
    mold, tin = Decimal("2001"), Decimal("31.05")

    assert not is_decimal_slip(Decimal("30.98"), [tin, mold])
    assert is_decimal_slip(mold, [tin, Decimal("30.98")])
