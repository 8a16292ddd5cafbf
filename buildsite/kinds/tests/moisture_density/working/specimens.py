"""The working of compacted specimens: water content, densities, saturation."""

from collections.abc import Iterator, Sequence
from typing import Any

from buildsite.kinds.answers import MoldFacts
from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import point_density, printed_unit
from buildsite.kinds.sheet import Target
from buildsite.kinds.steps import Input, Line, Step, Steps, Symbol
from buildsite.kinds.tests.moisture_density.specimens import (
    PointValues,
    compacted_on,
    mold_id,
)
from buildsite.kinds.tests.moisture_density.working.air import (
    PRINTED,
    Places,
    air_steps,
    label_of,
    water_input,
)
from buildsite.kinds.tests.shared.working import (
    Dried,
    capital,
    water_content_steps,
    words_of,
)
from buildsite.kinds.working import (
    density_line,
    digits,
    in_words,
    read,
    step_of,
)
from buildsite.record.flags import Field
from buildsite.record.units import from_si
from buildsite.soil.formulas import (
    DRY_DENSITY,
    WET_DENSITY,
)
from buildsite.standards.labels import label
from buildsite.standards.method import Method

Test = Case[Any, Any]

VOLUMES = {"g": "cm3", "kg": "m3", "lb": "ft3"}
"""The unit of a mold's volume beside a unit of mass."""


def point_field(record: Any, index: int) -> Field:
    """Return the field of a point, or of the only specimen of a one-point."""
    return ("points", index) if "points" in type(record).model_fields else ("point",)


def containers_of(record: Any, index: int) -> Sequence[tuple[Field, Any]]:
    """Return the containers of a point, with the field of each."""
    point, field = record.points[index], point_field(record, index)
    listed = [
        ((*field, "containers", k), one) for k, one in enumerate(point.containers)
    ]
    own = point.all_containers[: -len(listed)] if listed else point.all_containers
    return [*((field, one) for one in own), *listed]


def specimen_parts(
    case: Test, record: Any, places: Places = PRINTED
) -> Iterator[Steps]:
    """Yield water contents, then densities, of every specimen."""
    values, unit = case.values, case.values.density_unit
    dried = [
        Dried(
            f"water-content-{one.number}",
            label_of(case, one),
            containers_of(record, i),
            one.container_water_contents,
            one.water_content,
            places.water_content,
        )
        for i, one in enumerate(values.points)
    ]
    steps = water_content_steps(case.method, unit, record.units.moisture, dried)
    steps = (*steps, *transcribed_water(case, record))
    words, told = words_of(case.method), words_of(case.method, unit)
    yield Steps("water-contents", capital(words["water content"]), steps)
    notes = tuple(
        f"Point {one.number} was rejected and is not on the curve."
        for one in values.points
        if one.rejected
    )
    steps = tuple(one for one in density_steps(case, record, places) if one.lines)
    title = f"{capital(told['dry density'])} and saturation"
    yield Steps("densities", title, steps, notes)


def transcribed_water(case: Test, record: Any) -> Iterator[Step]:
    """Yield the water contents that were taken over as numbers."""
    lines = [
        Line(
            f"water-content-{one.number}",
            label_of(case, one),
            (taken(record, i, "water_content", "w", "%"),),
            digits(one.water_content),
            "%",
        )
        for i, one in enumerate(case.values.points)
        if not one.container_water_contents and one.water_content is not None
    ]
    if lines:
        words = words_of(case.method)
        name = f"{capital(words['water content'])}, transcribed"
        yield Step("water-content-transcribed", name, tuple(lines), "w", "w")


def taken(record: Any, index: int, name: str, symbol: str, unit: str) -> Input:
    """Return a number that the record states of a point."""
    value = getattr(record.points[index], name)
    field = (*point_field(record, index), name)
    return Input(symbol, read(value), unit, field)


def density_steps(case: Test, record: Any, places: Places) -> Iterator[Step]:
    """Yield mass, wet and dry density, saturation and air voids."""
    unit = record.units.compacted or ""
    volume = VOLUMES.get(unit, "m3")
    words = words_of(case.method)
    told = words_of(case.method, case.values.density_unit)
    shown, room = printed_unit(unit), printed_unit(volume)
    yield Step(
        "wet-soil",
        in_words("Wet soil in the mold", words),
        tuple(mass_lines(case, record, unit)),
        "m",
        "m_3 - m_4",
        (
            Symbol("m_3", in_words("mold and wet soil", words), shown),
            Symbol("m_4", in_words("empty mold", words), shown),
        ),
        "A definition",
    )
    yield step_of(
        WET_DENSITY,
        "wet-density",
        capital(told["wet density"]),
        wet_lines(case, record, unit, volume),
        {"m": shown, "V": room},
        words,
    )
    yield from transcribed_densities(case, record)
    yield step_of(
        DRY_DENSITY,
        "dry-density",
        capital(told["dry density"]),
        dry_lines(case),
        {"rho": "kg/m³", "w": "%"},
        words,
    )
    yield from air_steps(case, record, places)


def mass_lines(case: Test, record: Any, unit: str) -> Iterator[Line]:
    """Yield the mass of soil in the mold."""
    for i, one in enumerate(case.values.points):
        if one.wet_soil is None or uses_transcribed(one):
            continue
        point, field = record.points[i], point_field(record, i)
        own = getattr(point, "mold_mass", None) is not None
        mold = point.mold_mass if own else record.mold_mass
        yield Line(
            f"wet-soil-{one.number}",
            label_of(case, one),
            (
                Input(
                    "m_3",
                    read(point.mold_and_wet_soil),
                    unit,
                    (*field, "mold_and_wet_soil"),
                ),
                Input(
                    "m_4",
                    read(mold),
                    unit,
                    (*field, "mold_mass") if own else ("mold_mass",),
                ),
            ),
            digits(from_si(one.wet_soil, unit)),
            unit,
        )


def uses_transcribed(one: PointValues) -> bool:
    """Return whether the densities of a point were taken over as numbers."""
    return "wet_density" in one.transcribed or "dry_density" in one.transcribed


def volume_input(case: Test, record: Any, index: int, unit: str) -> Input:
    """Return the volume of a point's mold: calibrated, nominal, or stated."""
    one = case.values.points[index]
    point = record.points[index]
    text = digits(from_si(one.volume or 0.0, unit))
    id = mold_id(record, point)
    facts = None
    if id is not None:
        facts = case.inputs.get(MoldFacts, id, compacted_on(record, point))
    if facts is None:
        return Input("V", text, unit, ("mold_volume",))
    if facts.volume_m3 is not None or case.method is None:
        return Input("V", text, unit, to=("equipment", facts.id))
    return Input("V", text, unit, to=nominal_volume(case.method))


def nominal_volume(method: Method) -> Target:
    """Return the row of the standard with the nominal volume of a mold."""
    return ("cell", f"{method.designation}|{method.name}|{label('mold_volume')}")


def wet_lines(case: Test, record: Any, unit: str, volume: str) -> Iterator[Line]:
    """Yield the wet density of specimens that were weighed."""
    shown = case.values.density_unit
    for i, one in enumerate(case.values.points):
        weighed = one.wet_soil is not None and one.volume is not None
        if one.wet_density is None or not weighed or uses_transcribed(one):
            continue
        mass = digits(from_si(one.wet_soil or 0.0, unit))
        inputs = (
            Input("m", mass, unit, line=f"wet-soil-{one.number}"),
            volume_input(case, record, i, volume),
        )
        made = Line(f"wet-density-{one.number}", label_of(case, one), inputs, "")
        yield density_line(
            one.wet_density, shown, made, reported=density_text(one.wet_density, shown)
        )


def density_text(value: float, unit: str) -> str:
    """Return a density as printed among the points."""
    return f"{point_density(value, unit)} {printed_unit(unit)}"


def transcribed_densities(case: Test, record: Any) -> Iterator[Step]:
    """Yield the densities that were taken over as numbers."""
    unit = record.units.density or ""
    words = words_of(case.method, case.values.density_unit)
    for name, symbol in (("wet_density", "rho"), ("dry_density", "rho_d")):
        lines = []
        for i, one in enumerate(case.values.points):
            value = getattr(one, name)
            if name in one.transcribed and value is not None:
                anchor = f"{name.replace('_', '-')}-{one.number}"
                inputs = (taken(record, i, name, symbol, unit),)
                made = Line(anchor, label_of(case, one), inputs, "")
                lines.append(density_line(value, case.values.density_unit, made))
        if lines:
            title = f"{capital(words[name.replace('_', ' ')])}, transcribed"
            anchor = f"{name.replace('_', '-')}-transcribed"
            yield Step(anchor, title, tuple(lines), symbol, symbol)


def dry_lines(case: Test) -> Iterator[Line]:
    """Yield the dry density of every point that has a wet one."""
    unit = case.values.density_unit
    for one in case.values.points:
        if one.dry_density is None or one.wet_density is None:
            continue
        if "dry_density" in one.transcribed:
            continue
        inputs = (
            Input(
                "rho",
                digits(one.wet_density),
                "kg/m3",
                line=f"wet-density-{one.number}",
            ),
            water_input(one),
        )
        made = Line(f"dry-density-{one.number}", label_of(case, one), inputs, "")
        yield density_line(
            one.dry_density, unit, made, reported=density_text(one.dry_density, unit)
        )
