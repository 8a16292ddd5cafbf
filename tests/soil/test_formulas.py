"""The formulas as printed are the functions' own."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from buildsite.soil import coarse, formulas
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
    "before": (8.0, 10.0),
    "after": (2.0, 4.0),
    "cone": (1.0, 2.0),
    "sand_density": (1300.0, 1700.0),
    "water_mass": (50.0, 400.0),
    "empty": (0.05, 0.2),
    "full": (0.4, 0.8),
    "dry_soil": (0.03, 0.06),
    "full_of_water": (0.6, 0.7),
    "with_soil": (0.601, 0.629),
    "oven_dry": (2.9, 3.0),
    "surface_dry": (3.0, 3.1),
    "in_water": (1.7, 1.9),
    "bulk": (2.3, 2.8),
    "maximum_dry_density": (1500.0, 2300.0),
    "wet_retained": (0.1, 2.0),
    "wet_passing": (1.0, 5.0),
}
OF_ITS_OWN = {
    "balloon_volume": {"before": (0.0003, 0.0006), "after": (0.001, 0.003)},
    "fine_water_content": {
        "water_content": (15.0, 40.0),
        "oversize_water_content": (0.0, 4.0),
    },
    "apparent_of_bulk": {"absorption": (0.0, 5.0)},
}
"""Of functions that name a parameter as another does."""

ANY_PERCENT = (0.0, 35.0)


@pytest.mark.parametrize("formula", formulas.ALL, ids=lambda one: one.of.__name__)
@given(data=st.data())
def test_a_formula_gives_what_its_function_does(
    formula: Formula, data: st.DataObject
) -> None:
    own = OF_ITS_OWN.get(formula.of.__name__, {})
    put_in = {
        term: data.draw(st.floats(*({**MET, **own}.get(term.parameter, ANY_PERCENT))))
        for term in formula.terms
    }
    symbols = {
        term.symbol: term.through(value) if term.through else value
        for term, value in put_in.items()
    }
    try:
        computed = formula.of(**{term.parameter: one for term, one in put_in.items()})
    except ValueError:  # impossible values are refused, and shown nowhere
        assume(False)
    by_hand = eval(  # noqa: S307 (a text of our own)
        formula.text, {**NAMES, **formula.constants, **symbols}
    )

    assert by_hand == pytest.approx(computed, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("formula", formulas.ALL, ids=lambda one: one.of.__name__)
def test_a_formula_names_every_parameter_once(formula: Formula) -> None:
    code = formula.of.__code__
    parameters = code.co_varnames[: code.co_argcount]

    assert sorted(term.parameter for term in formula.terms) == sorted(parameters)
    assert all(term.words and term.symbol for term in formula.terms)
    assert formula.source


PARTS = st.lists(
    st.tuples(st.floats(1.0, 60.0), st.floats(2.3, 2.8)), min_size=2, max_size=5
)


@given(PARTS)
def test_the_means_are_those_of_the_functions(parts: list[tuple[float, float]]) -> None:
    values = {f"P_{i}": share for i, (share, _) in enumerate(parts, 1)}
    for i, (_, one) in enumerate(parts, 1):
        values |= {f"G_{i}": one, f"a_{i}": one}
    count, alike = len(parts), [(1.0, one) for _, one in parts]
    by_formula = [
        eval(text, {"__builtins__": {}}, values)  # noqa: S307
        for text in (
            formulas.mean_of_gravities(count),
            formulas.mean_of_waters(count),
            formulas.mean_of_alike(count),
            formulas.mean("a", count),
            formulas.GRAVITY_OF_TWO,
        )
    ]
    share, first, second = parts[0][0], parts[0][1], parts[1][1]

    assert by_formula == pytest.approx(
        [
            coarse.mean_specific_gravity(parts),
            coarse.mean_absorption(parts),
            coarse.mean_specific_gravity(alike),
            coarse.mean_absorption(alike),
            coarse.mean_specific_gravity([(share, first), (100 - share, second)]),
        ]
    )
