"""What the report states beside the result: method, sample, people, equipment."""

from datetime import date

from buildsite.kinds.answers import (
    DeviceFacts,
    LaboratoryFacts,
    MoldFacts,
    SampleFacts,
)
from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.links import device_refs, mold_refs
from buildsite.kinds.moisture_density.people import deeds
from buildsite.kinds.reporting import shown_places
from buildsite.kinds.sample import depth_of
from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.kinds.sieves import GRADATION
from buildsite.kinds.staff import doer
from buildsite.record.parts import StandardUsed

ABOUT = (Column("What"), Column("Stated"))


def facts(name: str, title: str, rows: list[tuple[str, Cell | str]]) -> Table:
    """A table of labels and what is stated; what nobody stated is left out."""
    kept = [
        (label, cell if isinstance(cell, Cell) else Cell(cell))
        for label, cell in rows
        if (cell.text if isinstance(cell, Cell) else cell)
    ]
    return Table(
        name,
        title,
        ABOUT,
        tuple(Row((Cell(label), cell)) for label, cell in kept),
        headed="row",
    )


def joined(*parts: object) -> str:
    """Join what is known with commas."""
    return ", ".join(str(part) for part in parts if part not in (None, ""))


def standard_named(used: StandardUsed) -> str:
    """Write the standard that was followed: designation, edition, method."""
    edition = f"-{used.edition}" if used.edition else ""
    return f"{used.designation}{edition}, Method {used.method}"


def form_of_curve(case: Test) -> str:
    """Write the form that the curve is drawn in, as the figure's caption does."""
    values = case.values
    return "drawn" if values.asked == "drawn" else values.curve.form.replace("-", " ")


def method_facts(case: Test) -> Table:
    """How the test was made."""
    record, method, values = case.record, case.method, case.values
    used = record.standard
    rammer = record.rammer
    blows = ""
    if record.layers and record.blows_per_layer:
        blows = f"{record.layers} layers of {record.blows_per_layer} blows"
    gravity, coarse = values.gravity, values.oversize
    dried = record.dried_back
    return facts(
        "method",
        "Method",
        [
            (
                "Standard",
                Cell(
                    standard_named(used),
                    ("method", used.designation) if method else None,
                ),
            ),
            ("Variant", "" if used.variant == "none" else used.variant),
            ("Preparation", record.preparation or ""),
            (
                "Dried back to",
                f"{dried.to_water_content} %"
                if dried and dried.to_water_content is not None
                else "",
            ),
            ("Processed through", record.processed_through or ""),
            ("Specimens", record.specimens or ""),
            ("Compaction", blows),
            (
                "Rammer",
                joined(rammer.operation, f"{rammer.face} face" if rammer.face else "")
                if rammer
                else "",
            ),
            (
                "Specific gravity",
                f"{gravity.value}, {gravity.basis}; water at "
                f"{shown_places(values.water_temperature_c, 0)} °C"
                if gravity
                else "not stated",
            ),
            (
                "Oversize",
                joined(
                    f"{coarse.percent_retained} % retained on "
                    f"{coarse.sieve or 'the sieve'}",
                    f"bulk specific gravity {coarse.bulk_specific_gravity}"
                    f" ({coarse.bulk_basis or 'basis not stated'})"
                    if coarse.bulk_specific_gravity is not None
                    else "",
                )
                if coarse
                else "",
            ),
            ("Curve", form_of_curve(case)),
        ],
    )


def sample_facts(case: Test) -> Table:
    """What was tested. For whom, a page says of every kind of test alike."""
    sample = case.inputs.get(SampleFacts, case.record.sample)
    rows: list[tuple[str, Cell | str]] = [
        ("Sample", Cell(case.record.sample, ("sample", case.record.sample)))
    ]
    if sample is not None:
        soil = joined(sample.soil_class, sample.soil_group)
        basis = f" ({sample.class_basis})" if sample.class_basis else ""
        rows += [
            ("Soil", sample.soil_name),
            ("Class", Cell(soil + basis, ("soil", sample.soil_class)) if soil else ""),
            ("Source", sample.soil_source),
            ("Place", joined(sample.sampled_place, sample.location)),
            ("Depth", depth_of(sample)),
            (
                "Sampled",
                joined(
                    sample.sampled_on,
                    doer(sample.sampled_by),
                    sample.sampled_method,
                ),
            ),
            ("Received", joined(sample.received_on, doer(sample.received_by))),
            ("Condition", sample.condition),
            (
                "As received",
                f"{sample.as_received_water_content} % water content"
                if sample.as_received_water_content is not None
                else "",
            ),
            ("On sieves", retained(sample)),
        ]
    return facts("sample", "Sample", rows)


def retained(sample: SampleFacts) -> str:
    """The sieves behind the choice of method."""
    return joined(
        *(
            f"{value} % on {sieve}"
            for field, sieve in GRADATION.items()
            if (value := getattr(sample, field)) is not None
        )
    )


def person(case: Test, code: str | None) -> str:
    """A staff code, with the name where the laboratory gives it for printing."""
    if code is None:
        return ""
    lab = case.inputs.get(LaboratoryFacts, "lab")
    who = lab.person(code) if lab is not None else None
    return f"{who.name} ({code})" if who is not None and who.name else code


def acts(case: Test) -> Table:
    """Who did what, and when."""
    record = case.record
    rows: list[tuple[str, Cell | str]] = []
    for label, act in (
        ("Prepared", record.prepared),
        ("Compacted", record.compacted),
        ("Dried", record.dried),
    ):
        if act is not None:
            rows.append((label, joined(act.on, person(case, act.by))))
    if record.oven is not None:
        oven = record.oven
        moments = [
            f"{lead} {moment:%Y-%m-%d %H:%M}"
            for lead, moment in (("in", oven.in_), ("out", oven.out))
            if moment is not None
        ]
        heat = f"{oven.temperature_c} °C" if oven.temperature_c is not None else ""
        rows.append(("Oven", joined(*moments, heat)))
    if record.entered is not None:
        rows.append(("Entered", person(case, record.entered.by)))
        rows.append(("Entry checked", person(case, record.entered.checked_by)))
    reviewed = record.reviewed
    rows.append(
        (
            "Reviewed",
            joined(reviewed.on, person(case, reviewed.by))
            if reviewed
            else "not reviewed",
        )
    )
    return facts("acts", "Work and review", rows)


def equipment(case: Test) -> Table | None:
    """Every piece of equipment, with the calibration that held on the day."""
    rows = []
    seen: set[tuple[str, date | None]] = set()
    for ref in mold_refs(case.record):
        mold = case.inputs.get(MoldFacts, ref.id, ref.on)
        if mold is None or (mold.id, mold.calibrated_on) in seen:
            continue
        seen.add((mold.id, mold.calibrated_on))
        volume = (
            f"{shown_places(mold.volume_m3 * 1e6, 1)} cm³ {mold.how}"
            if mold.volume_m3 is not None
            else "nominal volume"
        )
        rows.append(
            (
                "Mold",
                mold.id,
                joined(mold.nominal, volume),
                mold.calibrated_on,
                mold.next_due,
            )
        )
    for ref in device_refs(case.record):
        device = case.inputs.get(DeviceFacts, ref.id, ref.on)
        if device is not None:
            label = str(ref.field[-1]).replace("_", " ").capitalize()
            what = joined(device.name, device.opening)
            rows.append((label, device.id, what, device.calibrated_on, device.next_due))
    if not rows:
        return None
    columns = tuple(
        Column(label)
        for label in ("Equipment", "No.", "What", "Calibrated", "Next due")
    )
    return Table(
        "equipment",
        "Equipment",
        columns,
        tuple(
            Row(
                (
                    Cell(label),
                    Cell(id, ("equipment", id)),
                    Cell(what or "—"),
                    Cell(str(on or "no calibration on file")),
                    Cell(str(due or "—")),
                )
            )
            for label, id, what, on, due in rows
        ),
        role="more",
    )


def codes(case: Test) -> tuple[str, ...]:
    """Every staff code of the record, once."""
    return tuple(sorted({deed.code for deed in deeds(case.record)}))
