"""The formulas as printed are the functions' own."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsite.soil import formulas
from buildsite.soil.formulas import Formula

NAMES = {"sqrt": math.sqrt, "exp": math.exp, "ln": math.log, "pi": math.pi}

# Values that each parameter may have: soils as they are met.
MET = {
    "container": (10.0, 40.0),
    "dry": (100.0, 200.0),
    "wet": (200.0, 240.0),
    "temperature": (0.0, 40.0),
    "specific_gravity": (2.5, 2.9),
    "bulk_specific_gravity": (2.3, 2.8),
    "saturated": (2.3, 2.8),
    "dry_density": (1200.0, 2300.0),
    "wet_density": (1300.0, 2500.0),
    "water_density": (990.0, 1000.0),
    "mass": (0.5, 6.0),
    "volume": (0.0005, 0.004),
}
ANY_PERCENT = (0.0, 40.0)


@pytest.mark.parametrize("formula", formulas.ALL, ids=lambda one: one.of.__name__)
@given(data=st.data())
def test_a_formula_gives_what_its_function_does(
    formula: Formula, data: st.DataObject
) -> None:
    put_in = {
        term: data.draw(st.floats(*MET.get(term.parameter, ANY_PERCENT)))
        for term in formula.terms
    }
    symbols = {term.symbol: value for term, value in put_in.items()}
    by_hand = eval(  # noqa: S307 (a text of our own)
        formula.text, {**NAMES, **formula.constants, **symbols}
    )

    computed = formula.of(**{term.parameter: one for term, one in put_in.items()})

    assert by_hand == pytest.approx(computed, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("formula", formulas.ALL, ids=lambda one: one.of.__name__)
def test_a_formula_names_every_parameter_once(formula: Formula) -> None:
    code = formula.of.__code__
    parameters = code.co_varnames[: code.co_argcount]

    assert sorted(term.parameter for term in formula.terms) == sorted(parameters)
    assert all(term.words and term.symbol for term in formula.terms)
    assert formula.source
