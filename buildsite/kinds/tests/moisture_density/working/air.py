"""The working of saturation and air voids of compacted specimens."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from buildsite.kinds.answers import SpecificGravityFact
from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import to_places
from buildsite.kinds.steps import Input, Line, Step
from buildsite.kinds.tests.moisture_density.specimens import PointValues
from buildsite.kinds.tests.shared.working import words_of
from buildsite.kinds.working import constants, digits, read, step_of
from buildsite.soil.formulas import AIR_VOIDS, SATURATION, WATER_DENSITY

Test = Case[Any, Any]


class Places(NamedTuple):
    """Decimals of what a report prints of a specimen."""

    water_content: int = 1
    saturation: int = 0
    air_voids: int = 1


PRINTED = Places()
"""As most reports print them."""


def label_of(case: Test, values: PointValues) -> str:
    """Return the label of a point's lines; blank where there is one point."""
    return f"Point {values.number}" if len(case.values.points) > 1 else ""


def water_input(one: PointValues) -> Input:
    """Return the water content of a point, from its own line."""
    water = digits(one.water_content or 0.0)
    return Input("w", water, "%", line=f"water-content-{one.number}")


def air_steps(case: Test, record: Any, places: Places) -> Iterator[Step]:
    """Yield density of water, saturation and air voids, where Gs is known."""
    gravity = case.values.gravity
    if gravity is None or not any(
        one.air_voids is not None for one in case.values.points
    ):
        return
    words = words_of(case.method)
    units = {"rho_d": "kg/m³", "w": "%", "rho_w": "kg/m³"}
    yield water_density_step(case)
    for formula, name, title, decimals in (
        (SATURATION, "saturation", "Saturation", places.saturation),
        (AIR_VOIDS, "air_voids", "Air voids", places.air_voids),
    ):
        lines = [
            Line(
                f"{name.replace('_', '-')}-{one.number}",
                label_of(case, one),
                (
                    Input(
                        "rho_d",
                        digits(one.dry_density or 0.0),
                        "kg/m3",
                        line=f"dry-density-{one.number}",
                    ),
                    water_input(one),
                    gravity_input(record, gravity),
                    Input(
                        "rho_w",
                        digits(case.values.water_density),
                        "kg/m3",
                        line="water-density-1",
                    ),
                ),
                digits(getattr(one, name)),
                "%",
                reported=f"{to_places(getattr(one, name), decimals)} %",
            )
            for one in case.values.points
            if getattr(one, name) is not None
        ]
        yield step_of(formula, name.replace("_", "-"), title, lines, units, words)


def gravity_input(record: Any, gravity: SpecificGravityFact) -> Input:
    """Return the specific gravity, from the record, its sample, or another test."""
    text = read(gravity.value)
    if gravity.source == record.id:
        return Input("G_s", text, field=("specific_gravity",))
    what = "sample" if gravity.source == record.sample else "test"
    return Input("G_s", text, to=(what, gravity.source))


def water_density_step(case: Test) -> Step:
    """Return the density of water at the temperature that Gs is given for."""
    temperature = getattr(case.values, "water_temperature_c", 20.0)
    units = {
        "t": "°C",
        "a_1": "°C",
        "a_2": "°C",
        "a_3": "°C²",
        "a_4": "°C",
        "a_5": "kg/m³",
    }
    line = Line(
        "water-density-1",
        f"At {to_places(temperature, 1)} °C",
        (Input("t", digits(temperature), "°C"), *constants(WATER_DENSITY)),
        digits(case.values.water_density),
        "kg/m3",
    )
    return step_of(WATER_DENSITY, "water-density", "Density of water", [line], units)
