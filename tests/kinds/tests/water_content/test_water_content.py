"""A water content, from its record to what is reported and shown."""

from typing import Any

import pytest

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Table
from tests.kinds.making import kind, made

HEAD = """\
kind: water-content
id: T-1
project: p
sample: S-1
standard: {designation: ASTM D2216, edition: "19", method: B}
tested: {on: 2026-03-10, by: T07}
status: complete
units: {moisture: g}
"""
# WAQTC, FOP for AASHTO T 255/T 265, example (from memory; it follows from itself): pan
# 1232.1 g, wet 2764.7 g, dry 2637.2, 2634.1 and 2633.0 g; 0.22 % lost, then 0.08 %:
# constant; 131.7 g of water on 1400.9 g: 9.4 %.
WAQTC = (
    "{container: A, container_mass: 1232.1, container_and_wet: 2764.7, "
    "container_and_dry: [%s]}"
)


def weighed(*containers: str, more: str = "") -> Outcome:
    lines = "".join(f"  - {one}\n" for one in containers)
    return made(f"{HEAD}{more}containers:\n{lines}")


def flags(outcome: Outcome) -> set[str]:
    return {flag.flag for flag in outcome.flags}


def test_a_pan_dried_to_constant_mass() -> None:
    outcome = weighed(WAQTC % "2637.2, 2634.1, 2633.0")

    result = outcome.results["water_content"]
    assert result.value == pytest.approx(9.40, abs=0.005)
    assert (result.unit, result.reported) == ("%", "9.4 %")
    assert "not-dried-to-constant-mass" not in flags(outcome)


def test_a_pan_that_is_still_drying_is_seen() -> None:
    outcome = weighed(WAQTC % "2637.2, 2634.1")

    (flag,) = [f for f in outcome.flags if f.flag == "not-dried-to-constant-mass"]
    assert "0.22 %" in flag.found
    assert flag.basis == "ASTM D2216 (not yet checked against the standard's text)"


def test_a_method_reports_to_its_own_place() -> None:
    text = f"{HEAD}containers:\n  - {WAQTC % '2633.0'}\n"

    whole = made(text.replace("method: B", "method: A")).results["water_content"]

    assert whole.reported == "9 %"
    assert whole.value == pytest.approx(9.40, abs=0.005)


def test_a_rejected_container_stays_and_counts_for_nothing() -> None:
    good = "{container_mass: 10, container_and_wet: 120, container_and_dry: 110}"
    lost = (
        "{container_mass: 10, container_and_wet: 120, container_and_dry: 90, "
        "rejected: {by: E02, reason: fell}}"
    )

    outcome = weighed(good, lost)

    # By hand: 10 g of water on 100 g of soil.
    assert outcome.results["water_content"].value == pytest.approx(10.0)
    first, second = outcome.detail()["containers"]
    assert (first["rejected"], second["rejected"]) == (False, True)
    assert second["water_content"] == pytest.approx(37.5)  # 30 g on 80 g


def test_nothing_weighed_is_no_result_and_no_crash() -> None:
    outcome = made(f"{HEAD}containers: []\n")

    assert outcome.results == {}
    assert "missing-reading" in flags(outcome)
    assert outcome.sheet().table("results") is not None


def test_a_small_specimen_goes_by_the_largest_particle() -> None:
    one = "{container_mass: 10, container_and_wet: 120, container_and_dry: 110}"

    # ASTM D2216, table 1 (from memory): method B, 4.75 mm: 100 g; 9.5 mm: 500 g.
    enough = weighed(one, more="largest_particle: No. 4\n")
    small = weighed(one, more="largest_particle: 3/8 in\n")

    assert "moisture-specimen-too-small" not in flags(enough)
    assert "moisture-specimen-too-small" in flags(small)


def test_how_finely_it_is_read_goes_by_the_largest_particle() -> None:
    rows = [
        f"{{container_mass: 1{i}.1, container_and_wet: 5{i}.3, "
        f"container_and_dry: 4{i}.7}}"
        for i in range(3)
    ]

    # ASTM D2216, table 1 (from memory): method B, 2 mm: 0.01 g; 4.75 mm: 0.1 g.
    assert "reading-too-coarse" in flags(
        weighed(*rows, more="largest_particle: 2 mm\n")
    )
    assert "reading-too-coarse" not in flags(
        weighed(*rows, more="largest_particle: No. 4\n")
    )


def cells(table: Table | None) -> list[list[str]]:
    assert table is not None
    return [[cell.text for cell in row.cells] for row in table.rows]


def test_the_report_says_what_was_weighed() -> None:
    outcome = weighed(
        '{container: "7", container_mass: 10.00, container_and_wet: 120.00, '
        "container_and_dry: 110.00}",
        more="left_out: two stones\n",
    )

    sheet = outcome.sheet()

    assert sheet.subtitle == "ASTM D2216-19, Method B"
    assert cells(sheet.table("results")) == [["Water content", "10.0 %"]]
    assert cells(sheet.table("containers")) == [["1", "7", "110.00", "100.00", "10.00"]]
    assert ["Material excluded", "two stones"] in cells(sheet.table("method"))


@pytest.mark.parametrize(
    ("unit", "masses", "shown"),
    [
        ("g", ("216.1", "795.6", "761.9"), ["579.5", "545.8"]),
        ("g", ("500", "3100", "2900"), ["2600", "2400"]),
        # 1 lb is 453.59237 g, so that 0.01 lb is read to 4.5 g.
        ("lb", ("1.00", "3.00", "2.80"), ["907", "816"]),
    ],
)
def test_a_mass_shows_no_digit_that_was_not_read(
    unit: str, masses: tuple[str, str, str], shown: list[str]
) -> None:
    row = "{{container_mass: {}, container_and_wet: {}, container_and_dry: {}}}"
    text = f"{HEAD}containers:\n  - {row.format(*masses)}\n"

    sheet = made(text.replace("moisture: g", f"moisture: {unit}")).sheet()

    assert cells(sheet.table("containers"))[0][2:4] == shown


def test_the_bench_asks_in_the_order_of_the_work() -> None:
    outcome = weighed(
        "{container_mass: 10.00, container_and_wet: 120.00, container_and_dry: 110.00}",
        more="largest_particle: No. 4\n",
    )
    lay_out: Any = outcome.kind.bench

    bench = lay_out(outcome.case)

    titles = [part.title for part in bench.parts]
    assert titles.index("Containers") < titles.index("Oven")
    assert titles.index("Oven") < titles.index("After the oven")
    (dry,) = next(p for p in bench.parts if p.title == "After the oven").readings
    assert dry.several
    assert str(dry.resolution) == "0.1"
    assert bench.progress().lines == ((1, "water content 10.00 %"),)
    assert bench.steps
    assert bench.ticks
    assert bench.cautions


def test_the_sheet_says_how_much_soil_and_when_it_is_dry() -> None:
    # ASTM D2216, table 1, method B (from memory), and NDDOT T 265 of 2011.
    def told(standard: str) -> str:
        text = f"{HEAD}containers: []\n".replace(
            'standard: {designation: ASTM D2216, edition: "19", method: B}', standard
        )
        outcome = made(text)
        laid_out = kind("water-content").bench
        assert laid_out is not None
        return " ".join(laid_out(outcome.case).steps)

    american = told('standard: {designation: ASTM D2216, edition: "19", method: B}')
    assert "No. 10: 20 g, No. 4: 100 g, 3/8 in: 500 g, 3/4 in: 2500 g" in american
    assert "1 h more loses at most 0.1 % of the dry soil" in american
    assert (
        "No. 40: 10 g, No. 4: 100 g, 1/2 in: 300 g, 1 in: 500 g, 2 in: 1000 g"
        in told("standard: {designation: AASHTO T 265, method: none}")
    )
