"""Every cell of every file says where it comes from, and agrees with itself."""

import math
import pickle
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest

from buildsite.standards import reading
from buildsite.standards.cells import STATUSES, Cell, si_unit
from buildsite.standards.labels import label
from buildsite.standards.method import Method
from buildsite.standards.soils import soil_class, symbols
from buildsite.standards.tables import designations, find, standard, variants
from tests.units_library import library

FILES = sorted(path.stem for path in reading.HERE.glob("*.yaml"))
KEYS = {
    "value",
    "unit",
    "tolerance",
    "also",
    "source",
    "edition",
    "clause",
    "status",
    "note",
    "for",
}
PINT = {
    "lb": "pound",
    "in": "inch",
    "ft3": "foot**3",
    "cm3": "cm**3",
    "m3": "m**3",
    "lb/ft3": "pound/foot**3",
    "lbf/ft3": "force_pound/foot**3/standard_gravity",
    "kN/m3": "kN/m**3/standard_gravity",
    "kg/m3": "kg/m**3",
    "Mg/m3": "Mg/m**3",
    "g/cm3": "g/cm**3",
    "J/m3": "J/m**3",
    "kJ/m3": "kJ/m**3",
    "kN-m/m3": "kN*m/m**3",
    "ft-lbf/ft3": "foot*force_pound/foot**3",
    "L": "liter",
}
"""Pint's spelling of our units; those it spells alike are left out."""


def rows(node: Any, at: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield every row that is a cell, however deep, with the way to it."""
    if isinstance(node, list):
        for i, item in enumerate(node):
            yield from rows(item, f"{at}[{i}]")
    if isinstance(node, dict):
        if "value" in node:
            yield at, node
        for name, item in node.items():
            if name != "also":
                yield from rows(item, f"{at}.{name}")


def methods(*tests: str) -> Iterator[Method]:
    """Every method of every standard, or of those of some tests."""
    for designation in designations():
        known = standard(designation)
        assert known is not None
        if tests and known.test not in tests:
            continue
        for name in known.methods:
            for variant in ("none", *variants(designation, name)):
                method = find(designation, name, variant)
                assert method is not None
                yield method


METHODS = [
    pytest.param(m, id=f"{m.designation} {m.name} {m.variant}")
    for m in methods()
    if m.designation in designations("compaction")
]
OTHERS = [
    pytest.param(m, id=f"{m.designation} {m.name} {m.variant}")
    for m in methods()
    if m.designation not in designations("compaction")
]


@pytest.mark.parametrize("file", FILES)
def test_a_cell_has_a_source_and_a_status(file: str) -> None:
    seen = 0
    for at, row in rows(reading.read(file)):
        assert row.keys() <= KEYS, at
        assert row["source"].strip(), at
        assert row["status"] in STATUSES, at
        assert row["value"].strip(), at
        # One that was read names a publication.
        assert (row["source"], row["status"]) != ("common practice", "read"), at
        seen += 1
    assert seen, "no cell was found"


@pytest.mark.parametrize("file", FILES)
def test_an_edition_has_a_source_and_a_status(file: str) -> None:
    for edition in reading.read(file).get("editions", ()):
        assert edition["source"].strip()
        assert edition["status"] in STATUSES


def cells() -> Iterator[Cell]:
    for method in methods():
        yield from method.cells.values()
    for symbol in symbols():
        found = soil_class(symbol)
        assert found is not None
        yield from found.cells.values()


def test_si_agrees_with_a_general_units_library() -> None:
    units = library()
    seen = set()
    for cell in cells():
        # Shares, times, counts and °C stay as they are printed.
        if si_unit(cell.unit) in ("", "kg", "m", "m3", "kg/m3", "J/m3") and cell.unit:
            given = units.Quantity(float(cell.value), PINT.get(cell.unit, cell.unit))
            to = si_unit(cell.unit)
            assert cell.si == pytest.approx(given.to(PINT.get(to, to)).magnitude)
            seen.add(cell.unit)
    assert seen >= {"lb", "in", "ft3", "kg", "g", "mm", "m3", "cm3", "ft-lbf/ft3"}


def test_both_systems_of_units_print_the_same_figure() -> None:
    """One figure is the other, rounded to at most two of its last printed places."""
    compared = 0
    for cell in cells():
        if cell.also and cell.name not in LOOSE and si_unit(cell.unit) != "°C":
            step = 10.0 ** int(Decimal(cell.also.value).as_tuple().exponent)
            one = cell.also.si / float(cell.also.value)
            assert cell.si == pytest.approx(cell.also.si, abs=2 * step * one), cell.name
            compared += 1
    assert compared > 100


LOOSE = {"effort_nominal", "mold", "sieve", "specimen_mass", "sample_mass"}
"""Printed as round figures in both systems, or a name beside a figure."""


@pytest.mark.parametrize("method", METHODS)
def test_a_molds_volume_follows_from_its_size(method: Method) -> None:
    # The volume of a cylinder; within the printed tolerance, else 0.1 %.
    volume = math.pi * method.mold_diameter_m**2 / 4 * method.mold_height_m

    allowed = method.mold_volume_tolerance_m3 or method.mold_volume_m3 / 1000
    assert volume == pytest.approx(method.mold_volume_m3, abs=allowed)


@pytest.mark.parametrize("method", METHODS)
def test_the_effort_follows_from_the_row(method: Method) -> None:
    # Work of all blows on the volume, at standard gravity (CGPM 1901). The standards
    # round what they print: 12 375 and 12 320 to 12 400, 56 250 to 56 000.
    blow = method.rammer_mass_kg * 9.80665 * method.drop_m
    work = blow * method.blows_per_layer * method.layers / method.mold_volume_m3

    assert work == pytest.approx(method.effort_nominal_j_m3, rel=0.01)


@pytest.mark.parametrize(
    ("designation", "method", "foot_pounds"),
    [
        # Rammer [lb] x drop [ft] x blows x layers / volume [ft3], by hand.
        ("ASTM D698", "A", 5.5 * 1.0 * 25 * 3 / 0.0333),
        ("ASTM D698", "C", 5.5 * 1.0 * 56 * 3 / 0.0750),
        ("ASTM D1557", "A", 10.0 * 1.5 * 25 * 5 / 0.0333),
        ("ASTM D1557", "C", 10.0 * 1.5 * 56 * 5 / 0.0750),
        ("AASHTO T 99", "D", 5.5 * 1.0 * 56 * 3 / 0.0750),
        ("AASHTO T 180", "A", 10.0 * 1.5 * 25 * 5 / 0.0333),
    ],
)
def test_the_effort_in_foot_pounds(
    designation: str, method: str, foot_pounds: float
) -> None:
    row = find(designation, method)
    assert row is not None
    blow = row.rammer_mass_kg * 9.80665 * row.drop_m
    work = blow * row.blows_per_layer * row.layers / row.mold_volume_m3

    per_ft3 = library().Quantity(work, "J/m**3").to("ft*lbf/ft**3").magnitude

    assert per_ft3 == pytest.approx(foot_pounds, rel=0.002)


@pytest.mark.parametrize("method", METHODS)
def test_a_method_answers_every_question(method: Method) -> None:
    asked = [name for name in dir(type(method)) if not name.startswith("_")]

    for name in asked:
        getattr(method, name)

    assert {"least_points", "weighed_with", "oven_low_c"} <= set(asked)


@pytest.mark.parametrize("method", METHODS)
def test_a_method_says_how_each_result_is_reported(method: Method) -> None:
    for unit in ("kg/m3", "Mg/m3", "g/cm3", "lb/ft3", "lbf/ft3", "kN/m3"):
        for quantity in ("maximum_dry_density", "corrected_maximum_dry_density"):
            assert Decimal(method.report(quantity, unit).step) > 0
    assert method.report("optimum_water_content", "%").cell.status in STATUSES
    assert Decimal(method.report("maximum_dry_density", "kg/m3").step) <= 10


@pytest.mark.parametrize("method", [*METHODS, *OTHERS])
def test_rows_for_a_page_have_labels_of_their_own(method: Method) -> None:
    labels = [text for text, _ in method.rows()]

    assert len(labels) == len(set(labels))
    assert not [text for text in labels if "_" in text]


def test_a_label_is_what_the_trade_says() -> None:
    assert label("oversize_limit") == "Oversize, at most"


def test_a_method_goes_to_a_worker_and_back() -> None:
    method = find("ASTM D698", "A")
    assert method is not None

    assert pickle.loads(pickle.dumps(method)).layers == method.layers  # noqa: S301 - our own bytes
