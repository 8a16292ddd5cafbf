"""
The budget of a test, against a Monte-Carlo run and against uncertain numbers.

Both references compute the test anew from its readings, by code of their own.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from buildsite.kinds.tests.moisture_density.uncertainty.budget import (
    Budget,
    Component,
    budget,
)
from buildsite.kinds.tests.moisture_density.uncertainty.report import (
    rounded_up,
    statement,
)
from buildsite.record.units import to_si
from buildsite.soil.uncertainty import combined
from buildsite.standards.cells import UNCHECKED, Cell
from buildsite.standards.method import Rounding
from tests.kinds.making import FILE, LAB, SAMPLE, archive, in_archive, made, text_of

Floats = NDArray[np.float64]

FULL = [3854, 3939, 4002, 4007, 3981]  # g
MOLD, VOLUME = 2001, 943.6  # g, cm³
CONTAINERS = [
    (52.1, 198.4, 187.2),
    (51.6, 204.3, 190.1),
    (52.9, 196.0, 180.4),
    (50.9, 200.7, 182.0),
    (52.4, 207.7, 186.3),
]
POINTS = "points:\n" + "".join(
    f"  - {{mold_and_wet_soil: {full}, container_mass: {a}, container_and_wet: {b}, "
    f"container_and_dry: {c}}}\n"
    for full, (a, b, c) in zip(FULL, CONTAINERS, strict=True)
)
READ = (
    "units: {compacted: g, moisture: g, volume: cm3}\n"
    f"mold_mass: {MOLD}\nmold_volume: {VOLUME}\n" + POINTS
)
ASKED = "uncertainty: yes\n"

# What is taken for a stated volume and a balance without calibration: the 0.0005 ft³
# by which molds of D698 may differ (6.1.1, from memory), 0.1 % of the heaviest soil.
VOLUME_HALF, SCALE_HALF = 0.0005 * 30.48**3, 0.001 * 2006
TO_SI = 1000.0  # g/cm³ to kg/m³


def made_of(rest: str) -> Budget:
    found = budget(made(text_of(rest)).case)
    assert isinstance(found, Budget), found
    return found


def form(name: str) -> str:
    return f"curve: {{form: {name}}}\n"


def of_readings(made: Budget) -> tuple[float, float]:
    """Combined standard uncertainty of readings, balance and volume alone."""
    parts = [one.contribution for one in made.components if one.unit]
    density, water = zip(*parts, strict=True)
    return combined(density), combined(water)


def least_squares(w: Floats, dry: Floats) -> tuple[Floats, Floats]:
    """Vertex of the parabola of least squares, of each row of many."""
    middle = w.mean(axis=1, keepdims=True)
    powers = np.stack([np.ones_like(w), w - middle, (w - middle) ** 2], axis=2)
    normal = powers.transpose(0, 2, 1) @ powers
    right = (powers.transpose(0, 2, 1) @ dry[:, :, None])[:, :, 0]
    a, b, c = np.linalg.solve(normal, right[:, :, None])[:, :, 0].T
    return a - b**2 / (4 * c), middle[:, 0] - b / (2 * c)


def top_three(w: Floats, dry: Floats) -> tuple[Floats, Floats]:
    """Vertex of the parabola through the highest point and its neighbours (Newton)."""
    top = dry.argmax(axis=1)
    rows = np.arange(len(w))
    (x0, y0), (x1, y1), (x2, y2) = (
        (w[rows, top + k], dry[rows, top + k]) for k in (-1, 0, 1)
    )
    first = (y1 - y0) / (x1 - x0)
    second = ((y2 - y1) / (x2 - x1) - first) / (x2 - x0)
    at = (x0 + x1) / 2 - first / (2 * second)
    return y0 + first * (at - x0) + second * (at - x0) * (at - x1), at


PEAKS = {"quadratic": least_squares, "parabola-through-three": top_three}


def drawn(peak: Callable[[Floats, Floats], tuple[Floats, Floats]]) -> Floats:
    """Results of many tests whose readings lie anywhere in their last digit."""
    chance = np.random.default_rng(20260310)
    many = 200_000

    def within(half: float, *shape: int) -> Floats:
        return chance.uniform(-half, half, (many, *shape))

    full = np.array(FULL) + within(0.5, len(FULL))
    mold = MOLD + within(0.5, 1)
    masses = np.array(CONTAINERS) + within(0.05, len(FULL), 3)
    empty, wet, dry_mass = masses[:, :, 0], masses[:, :, 1], masses[:, :, 2]
    water = 100 * (wet - dry_mass) / (dry_mass - empty)
    soil = full - mold + within(SCALE_HALF, 1)
    dry = TO_SI * soil / (VOLUME + within(VOLUME_HALF, 1)) / (1 + water / 100)
    return np.stack(peak(water, dry))


@pytest.mark.parametrize("name", PEAKS)
def test_a_monte_carlo_run_spreads_as_the_budget_says(name: str) -> None:
    # JCGM 101:2008: distributions propagated, fixed seed. 200 000 draws know a standard
    # deviation to 0.16 %; what is left is the bend of the model, below 1 %.
    density, water = drawn(PEAKS[name]).std(axis=1, ddof=1)

    found = of_readings(made_of(ASKED + READ + form(name)))

    assert found == pytest.approx((density, water), rel=0.01)


def test_half_of_twice_the_uncertainty_holds_95_percent() -> None:
    # The volume dominates, and is rectangular: all draws lie within k = 2 of the mean.
    density, _ = drawn(least_squares)
    found, _ = of_readings(made_of(ASKED + READ + form("quadratic")))

    held = np.mean(np.abs(density - density.mean()) < 2 * found)

    assert held > 0.95


def uncertain_quadratic() -> tuple[float, float]:
    """The same test in GTC's numbers: normal equations, Cramer's rule, vertex."""
    # Imported late: it brings a second of libraries.
    import GTC  # type: ignore[import-untyped]  # it has no stubs

    step = 1 / 12**0.5
    mold = GTC.ureal(MOLD, step)
    volume = GTC.ureal(VOLUME, VOLUME_HALF / 3**0.5)
    error = GTC.ureal(0, SCALE_HALF / 3**0.5)
    w, dry = [], []
    for full, masses in zip(FULL, CONTAINERS, strict=True):
        empty, wet, baked = (GTC.ureal(m, 0.1 * step) for m in masses)
        water = 100 * (wet - baked) / (baked - empty)
        soil = GTC.ureal(full, step) - mold + error
        w.append(water)
        dry.append(TO_SI * soil / volume / (1 + water / 100))
    middle = sum(GTC.value(one) for one in w) / len(w)
    x = [one - middle for one in w]
    s: list[Any] = [sum(one**k for one in x) for k in range(5)]
    t = [sum(one**k * y for one, y in zip(x, dry, strict=True)) for k in range(3)]

    def determinant(*columns: list[Any]) -> Any:
        a, b, c = columns
        return (
            a[0] * (b[1] * c[2] - b[2] * c[1])
            - b[0] * (a[1] * c[2] - a[2] * c[1])
            + c[0] * (a[1] * b[2] - a[2] * b[1])
        )

    one, two, three = s[0:3], s[1:4], s[2:5]
    whole = determinant(one, two, three)
    a, b, c = (
        determinant(*columns) / whole
        for columns in ((t, two, three), (one, t, three), (one, two, t))
    )
    peak, at = a - b**2 / (4 * c), middle - b / (2 * c)
    return GTC.uncertainty(peak), GTC.uncertainty(at)


def test_uncertain_numbers_of_an_independent_library_agree() -> None:
    found = of_readings(made_of(ASKED + READ + form("quadratic")))

    assert found == pytest.approx(uncertain_quadratic(), rel=0.002)


def component(made: Budget, quantity: str) -> Component:
    return next(one for one in made.components if one.quantity == quantity)


def test_a_drawn_peak_counts_how_far_it_lies_from_the_forms() -> None:
    peak = "{maximum_dry_density: 2000, optimum_water_content: 11.0}"
    rest = READ.replace("volume: cm3}", "volume: cm3, density: kg/m3}")

    near = made_of(ASKED + READ)
    far = made_of(ASKED + rest + f"curve: {{drawn: {peak}}}\n")

    for which in (0, 1):
        close, apart = (component(m, "Choice of curve") for m in (near, far))
        assert apart.contribution[which] > 2 * close.contribution[which]


def test_the_standards_precision_stands_for_compaction_and_splitting() -> None:
    # ASTM D698, table 3 (from memory): ML and others 1.3 lbf/ft³ and 0.9 points for two
    # results, 2.8 standard deviations (ASTM E177): 0.464 lb/ft³ = 7.44 kg/m³, 0.321.
    repeats = component(made_of(ASKED + READ), "Compaction and splitting")

    assert repeats.contribution == pytest.approx((7.437, 0.3214), abs=0.001)
    assert f"table 3 ({UNCHECKED})" in repeats.source
    assert "stated for ML and used for this soil too" in repeats.source


def test_what_repeat_tests_contain_counts_once() -> None:
    # Of the last digits and of compaction (7.44 kg/m³, 0.32 points) the larger counts;
    # volume, balance and curve count beside it.
    made = made_of(ASKED + READ)

    for which, repeat in enumerate((7.437, 0.3214)):
        parts = {one.quantity: one.contribution[which] for one in made.components}
        digits = ("Mold and wet soil", "Mold, empty", "Containers, all masses")
        assert 0 < combined(parts.pop(name) for name in digits) < repeat
        assert parts["Compaction and splitting"] == pytest.approx(repeat, abs=0.001)
        assert made.standard[which] == pytest.approx(combined(parts.values()))


def test_repeat_tests_that_agree_better_than_digits_do_not_count() -> None:
    small = OWN.replace("density: 0.3", "density: 0.001").replace("0.15", "0.001")

    made = budget(in_archive(READ, {"records/lab.yaml": small}).case)

    assert isinstance(made, Budget)
    for which in (0, 1):
        every = [
            one.contribution[which]
            for one in made.components
            if one.quantity != "Compaction and splitting"
        ]
        assert made.standard[which] == pytest.approx(combined(every))


def test_without_a_repeatability_the_budget_is_incomplete() -> None:
    used = "standard: {designation: BS 1377-4, method: '3.3'}\n"

    outcome = made(text_of(used + ASKED + READ))
    found = budget(outcome.case)

    assert isinstance(found, Budget)
    assert "compaction and splitting" in found.missing[0]
    assert "The budget is incomplete: it lacks the repeat" in statement(outcome.case)
    stated = outcome.detail()["uncertainty"]["maximum_dry_density"]
    assert (stated["complete"], stated["k"], stated["unit"]) == (False, 2, "kg/m3")


OWN = LAB + (
    "procedures:\n"
    "  uncertainty_from: 2026-03-01\n"
    "  repeatability:\n"
    "    - {standard: D698, density_unit: lb/ft3, maximum_dry_density: 0.3,\n"
    "       optimum_water_content: 0.15, repeats: 12}\n"
)


def test_the_laboratorys_own_repeats_come_first() -> None:
    outcome = in_archive(READ, {"records/lab.yaml": OWN})

    found = budget(outcome.case)

    assert isinstance(found, Budget)
    repeats = component(found, "Compaction and splitting")
    wanted = (0.3 * 16.01846337, 0.15)  # lb/ft³: NIST SP 811
    assert repeats.contribution == pytest.approx(wanted)
    assert "12 repeats" in repeats.source
    assert found.missing == ()


@pytest.mark.parametrize(
    ("procedures", "record", "asked"),
    [
        ("", "", False),
        ("procedures: {uncertainty_from: 2026-03-10}\n", "", True),
        ("procedures: {uncertainty_from: 2026-03-11}\n", "", False),
        ("procedures: {uncertainty_from: 2026-03-10}\n", "uncertainty: no\n", False),
        ("", "uncertainty: yes\n", True),
    ],
)
def test_who_asks_for_it(procedures: str, record: str, *, asked: bool) -> None:
    # The test is of 2026-03-10.
    outcome = in_archive(record + READ, {"records/lab.yaml": LAB + procedures})

    assert ("uncertainty" in outcome.detail()) == asked
    results = outcome.sheet().table("results")
    assert results is not None
    assert ("k = 2" in results.note) == asked
    appendices = outcome.kind.appendices
    assert appendices is not None
    assert bool(appendices(outcome.case)) == asked


def test_nothing_that_was_used_moves_before_it_is_asked_for() -> None:
    later = "procedures: {uncertainty_from: 2027-01-01}\n"

    before = in_archive(READ, {"records/lab.yaml": LAB})
    after = in_archive(READ, {"records/lab.yaml": LAB + later})
    asked = in_archive(READ, {"records/lab.yaml": OWN})

    assert before.used == after.used
    assert asked.used != before.used
    assert after.inputs["records/lab.yaml"] != before.inputs["records/lab.yaml"]


BALANCE = """\
kind: balance
id: B-1
readability: 1
calibrations: [{on: 2026-01-15, largest_error: 2}]
"""


def test_the_balances_calibration_is_asked_only_then() -> None:
    equipment = "equipment: {balance: B-1}\n"
    files = {"records/equipment/B-1.yaml": BALANCE}
    silent = in_archive(equipment + READ, files)
    asked = in_archive(ASKED + equipment + READ, files)

    found = budget(asked.case)

    assert isinstance(found, Budget)
    balance = component(found, "Error of the balance")
    assert balance.standard[0] == pytest.approx(0.002 / 3**0.5)
    assert balance.source == "calibration of B-1 on 2026-01-15: largest error 2 g"
    assert not [key for key in silent.case.inputs.answers if key[0] == "BalanceError"]
    assert silent.flags == archive({**files, FILE: text_of(equipment + READ)}).flags(
        FILE
    )


MOLD_FILE = """\
kind: mold
id: M-1
nominal: 4 in
units: {mass: g, length: mm, volume: cm3}
calibrations:
  - {on: 2026-01-14, water: {empty_with_plates: 3110, full_with_plates: 4052,
     temperature_c: 20}, dimensions: {diameters: [101.6, 101.6, 101.6, 101.6, 101.6,
     101.6], heights: [116.0, 116.0, 116.0]}}
"""


def test_a_mold_measured_twice_is_known_to_the_difference() -> None:
    # By water 942 g at 998.21 kg/m³: 943.69 cm³; by dimensions π/4 × 101.6² × 116.0:
    # 940.44 cm³. Their difference, 3.25 cm³, over √3.
    rest = READ.replace(f"mold_volume: {VOLUME}\n", "equipment: {mold: M-1}\n")
    files = {"records/equipment/M-1.yaml": MOLD_FILE}

    found = budget(in_archive(ASKED + rest, files).case)

    assert isinstance(found, Budget)
    volume = component(found, "Volume of mold M-1")
    assert volume.standard[0] * 1e6 == pytest.approx(3.25 / 3**0.5, abs=0.01)


def test_two_containers_tell_how_water_contents_scatter() -> None:
    # Waters of 10 and 10.4 %, 12 and 12.2 %: pooled over two degrees of freedom,
    # √((0.08 + 0.02) / 2) = 0.2236; of a mean of two, 0.1581.
    def point(full: int, *waters: float) -> str:
        each = ", ".join(
            f"{{container_mass: 50.00, container_and_wet: {150 + w:.2f}, "
            "container_and_dry: 150.00}"
            for w in waters
        )
        return f"  - {{mold_and_wet_soil: {full}, containers: [{each}]}}\n"

    points = point(3854, 8) + point(3960, 10, 10.4) + point(4000, 12, 12.2)
    rest = READ.replace(POINTS, "points:\n" + points + point(3980, 14))

    between = component(made_of(ASKED + rest), "Water content, between containers")

    assert between.standard[0] == pytest.approx(0.2236, abs=0.0001)  # of one container
    assert between.count == 4


def test_values_taken_over_from_paper_are_known_to_their_last_digit() -> None:
    points = "".join(
        f"  - {{dry_density: {dry}, water_content: {w}}}\n"
        for dry, w in ((1.70, "8.0"), (1.75, "10.0"), (1.78, "12.0"), (1.74, "14.0"))
    )

    found = made_of(ASKED + "units: {density: Mg/m3}\npoints:\n" + points)

    dry = component(found, "Dry unit weight, transcribed")
    assert dry.standard[0] == pytest.approx(100 / 12**0.5)  # 1.7 has one decimal
    assert dry.source == "read to 0.1 Mg/m³"


def test_a_test_without_a_peak_states_none() -> None:
    rising = READ.replace("4007", "4060").replace("3981", "4120")

    outcome = made(text_of(ASKED + rising))

    assert outcome.results == {}
    assert "uncertainty" not in outcome.detail()
    assert budget(outcome.case) == "There is no result to state an uncertainty for."


@pytest.mark.parametrize(
    ("value", "step", "unit", "wanted"),
    [
        # JCGM 100:2008, 7.2.6: 10.47 mΩ is rounded up to 11 mΩ.
        (10.47, "1", "", "11"),
        (0.9, "0.1", "", "0.9"),
        (0.91, "0.1", "", "1.0"),
        (1.23, "2", "significant figures", "1.3"),
        (0.31, "0.5", "", "0.5"),
    ],
)
def test_an_uncertainty_is_rounded_up(
    value: float, step: str, unit: str, wanted: str
) -> None:
    cell = Cell("x", step, unit, "common practice", "", "", "common practice")

    assert rounded_up(value, Rounding(cell)) == wanted


def test_the_page_of_the_budget_adds_up() -> None:
    outcome = in_archive(ASKED + READ, {"records/p/samples/S-1.yaml": SAMPLE})
    assert outcome.kind.appendices is not None
    [page] = outcome.kind.appendices(outcome.case)

    for name, unit in (
        ("maximum_dry_density", "lb/ft3"),
        ("optimum_water_content", "%"),
    ):
        table = page.sheet.table(name)
        assert table is not None
        figures = [[cell.text for cell in row.cells] for row in table.rows]
        shares = [row[5] for row in figures]
        *parts, whole, double = [float(one) for one in shares if one[0] != "("]
        assert any(one[0] == "(" for one in shares)
        assert combined(parts) == pytest.approx(whole, rel=0.005)
        assert double == pytest.approx(2 * whole, rel=0.005)
        stated = outcome.detail()["uncertainty"][name]["expanded"]
        one = to_si(1.0, unit) if unit != "%" else 1.0
        assert double * one == pytest.approx(stated, rel=0.005)
    assert page.folder == "uncertainty"
