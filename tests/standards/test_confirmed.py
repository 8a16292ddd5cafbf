"""How a cell and its value may be written by who confirms it."""

from datetime import date

import pytest

from buildsite.standards.cells import Cell, Printed
from buildsite.standards.confirmed import (
    Confirmed,
    cells_named,
    confirms,
    methods_of,
    rows_of,
    says,
    unchecked,
    with_confirmed,
)
from buildsite.standards.tables import designations, find

DROP = Cell(
    "rammer_drop",
    "305",
    "mm",
    "AASHTO T 99",
    "",
    "",
    "from memory",
    tolerance="2",
    also=Printed("12.00", "in", "0.06"),
)


@pytest.mark.parametrize(
    "value",
    [
        "305 ± 2 mm",
        "305 +/- 2 mm",
        "305±2mm",
        "12.00 ± 0.06 in",
        "12.00 ± 0.06 in.",
        "12 ± 0.060 in",
        "305.0 ± 2 mm",
        "305 ± 2 mm (12.00 ± 0.06 in.)",
    ],
)
def test_a_value_may_be_written_in_either_system_or_both(value: str) -> None:
    assert says(DROP, value)


@pytest.mark.parametrize(
    "value", ["305", "305 mm", "305 ± 3 mm", "305 ± 2 in", "30.5 ± 2 mm", "", "12 in"]
)
def test_another_number_tolerance_unit_or_place_is_another_value(value: str) -> None:
    assert not says(DROP, value)


@pytest.mark.parametrize("value", ["5 %", "5%", "5"])
def test_a_percent_may_go_without_its_sign(value: str) -> None:
    assert says(Cell("oversize_least", "5", "%", "", "", "", ""), value)


def confirmed(**about: str) -> Confirmed:
    said = {"standard": "AASHTO T 99", "method": "", "cell": "layers", "value": "3"}
    said |= {"edition": "22", "clause": "5.2", "by": "E02", **about}
    return Confirmed(**said, on=date(2026, 3, 2))


@pytest.mark.parametrize("cell", ["layers", "Layers", "LAYERS"])
def test_a_cell_is_named_as_in_the_file_or_on_the_page(cell: str) -> None:
    assert {one.name for one in cells_named(confirmed(cell=cell))} == {"layers"}


def test_every_unchecked_cell_can_be_confirmed_as_the_page_shows_it() -> None:
    count = 0
    for designation in designations():
        for name in unchecked(designation):
            (cell, *_) = (
                cell
                for cell in cells_named(confirmed(standard=designation, cell=name))
                if cell.status == "from memory"
            )
            about = {"standard": designation, "cell": name, "value": str(cell)}
            assert any(
                confirms(confirmed(**about), method, name, found)
                for method in methods_of(designation, "", "22")
                for at, found in rows_of(method)
                if at == name
            ), (designation, name)
            count += 1
    assert count > 50


def test_a_cell_that_was_read_stays_as_it_is() -> None:
    method = find("AASHTO T 99", "A")
    assert method is not None
    assert method.cell("rammer_mass").status == "read"
    said = confirmed(cell="rammer_mass", value="2.495 ± 0.009 kg")

    assert with_confirmed(method, (said,)).cell("rammer_mass") == method.cell(
        "rammer_mass"
    )


def test_a_method_without_a_confirmed_cell_is_the_same_one() -> None:
    method = find("ASTM D698", "A")
    assert method is not None

    assert with_confirmed(method, (confirmed(),)) is method
