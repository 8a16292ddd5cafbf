"""Procedure and molds on the report."""

from collections.abc import Iterator
from datetime import date

from buildsite.kinds.answers import MoldFacts, given
from buildsite.kinds.reporting import to_places
from buildsite.kinds.sheet import Cell
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.links import mold_refs
from buildsite.kinds.tests.moisture_density.rules.common import quantity_word
from buildsite.kinds.tests.moisture_density.wording import spelled
from buildsite.kinds.tests.shared.facts import EquipmentRow, as_found, join_known
from buildsite.soil.curves import FORMS


def curve_type(case: Test) -> str:
    """Write the curve type."""
    values = case.values
    if values.is_drawn:
        return "drawn"
    known = FORMS.get(values.curve.form)
    return known.title if known is not None else values.curve.form


def method_rows(case: Test) -> list[tuple[str, Cell | str]]:
    """Return the rows of the procedure."""
    record = case.record
    rammer, dried = record.rammer, record.dried_back
    blows = face = back = ""
    if record.layers and record.blows_per_layer:
        blows = f"{record.layers} layers, {record.blows_per_layer} blows each"
    if rammer is not None and rammer.face:
        face = f"{rammer.face} face"
    if dried is not None and dried.to_water_content is not None:
        back = f"{dried.to_water_content} %"
    return [
        ("Preparation", record.preparation or ""),
        ("Dried back to", back),
        ("Material passing", record.processed_through or ""),
        ("Specimens", SPECIMENS.get(record.specimens or "", "")),
        ("Compaction", blows),
        ("Rammer", join_known(rammer.operation, face) if rammer is not None else ""),
        ("Specific gravity", gravity_cell(case)),
        ("Oversize", oversize_cell(case)),
        ("Curve type", curve_type(case)),
    ]


SPECIMENS = {
    "separate": "Separate specimen for each point",
    "reused": "Soil reused between points",
}
"""Whether soil was compacted once or again for each point."""


def gravity_cell(case: Test) -> Cell:
    """Return the specific gravity of the zero-air-voids line, and its test."""
    values, record = case.values, case.record
    gravity = values.gravity
    if gravity is None:
        return Cell("not stated")
    figure = f"{gravity.value}, {gravity.basis}"
    stated = given(figure, gravity.given_by, gravity.laboratory)
    text = f"{stated}; water at {to_places(values.water_temperature_c, 0)} °C"
    if gravity.source in (record.id, record.sample):
        return Cell(text)
    return Cell(f"{text}; by {gravity.source}", ("test", gravity.source))


def oversize_cell(case: Test) -> Cell:
    """Return the oversize excluded from the mold, and its test."""
    record, coarse = case.record, case.values.oversize
    if coarse is None:
        return Cell("")
    bulk, basis = coarse.bulk_specific_gravity, coarse.bulk_basis
    saturated = basis == "SSD" and coarse.absorption is not None
    text = join_known(
        f"{coarse.percent_retained} % retained on {coarse.sieve or 'the sieve'}",
        f"bulk specific gravity {bulk} ({basis or 'basis not stated'})" if bulk else "",
        f"absorption {coarse.absorption} %" if saturated else "",
        f"{quantity_word(case, 'water_content')} {coarse.water_content} %"
        if coarse.water_content is not None
        else "",
    )
    if coarse.source in (record.id, record.sample):
        return Cell(given(text, coarse.given_by))
    text = given(text, "", coarse.laboratory)
    return Cell(f"{text}; by {coarse.source}", ("test", coarse.source))


def from_customer(case: Test) -> Iterator[str]:
    """Yield the values used that the customer supplied."""
    gravity, coarse = case.values.gravity, case.values.oversize
    if gravity is not None and gravity.given_by:
        yield "specific gravity"
    if coarse is not None and coarse.given_by:
        yield "oversize"


def mold_rows(case: Test) -> Iterator[EquipmentRow]:
    """Yield every mold of a test, with the calibration in force on the day."""
    seen: set[tuple[str, date | None]] = set()
    for ref in mold_refs(case.record):
        mold = case.inputs.get(MoldFacts, ref.id, ref.on)
        if mold is None or (mold.id, mold.calibrated_on) in seen:
            continue
        seen.add((mold.id, mold.calibrated_on))
        volume = (
            f"{to_places(mold.volume_m3 * 1e6, 1)} cm³ {mold.how}"
            if mold.volume_m3 is not None
            else "nominal volume"
        )
        what = join_known(mold.nominal, volume, as_found(mold))
        yield (
            spelled("Mold", case.method),
            mold.id,
            what,
            mold.calibrated_on,
            mold.next_due,
        )
