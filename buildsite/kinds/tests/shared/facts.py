"""The facts of a report: standard, sample, people, equipment."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import TypeAlias

from buildsite.kinds.answers import (
    DeviceFacts,
    LaboratoryFacts,
    MoldFacts,
    PycnometerFacts,
    SampleFacts,
    doer,
    given,
)
from buildsite.kinds.laboratory.sample.sheet import depth_of
from buildsite.kinds.sheet import Cell, Column, Row, Table, fact_table
from buildsite.kinds.sieves import GRADATION
from buildsite.kinds.tests.shared.links import device_refs
from buildsite.kinds.tests.shared.record import (
    AnyTest,
    RecordOfWork,
    act_of,
    acts_at_lines,
    ovens_at_lines,
    sample_id,
    standard_followed,
)
from buildsite.record.parts import Act, Oven, StandardUsed
from buildsite.standards.cells import edition_mark


def join_known(*parts: object) -> str:
    """Join the known parts with commas."""
    return ", ".join(str(part) for part in parts if part not in (None, ""))


def standard_text(used: StandardUsed) -> str:
    """Return the standard followed: designation, edition, method."""
    edition = edition_mark(used.edition or "")
    method = "" if used.method == "none" else f", Method {used.method}"
    return f"{used.designation}{edition}{method}"


def standard_row(case: AnyTest) -> tuple[str, Cell]:
    """Return the row of the standard followed, linked to its page; blank if none."""
    used = standard_followed(case.record)
    if used is None:
        return "Standard", Cell("")
    to = ("method", used.designation) if case.method is not None else None
    return "Standard", Cell(standard_text(used), to)


def sample_facts(case: AnyTest) -> Table | None:
    """Return the facts of the sample, if one is named; the page adds the customer."""
    id = sample_id(case.record)
    if not id:
        return None
    sample = case.inputs.get(SampleFacts, id)
    rows: list[tuple[str, Cell | str]] = [("Sample", Cell(id, ("sample", id)))]
    if sample is not None:
        rows += [
            ("Soil", given(sample.soil_name, sample.soil_given_by)),
            ("Class", class_cell(sample)),
            ("Source", sample.soil_source),
            ("Place", join_known(sample.sampled_place, sample.location)),
            ("Depth", depth_of(sample)),
            (
                "Sampled",
                join_known(
                    sample.sampled_on,
                    doer(sample.sampled_by),
                    sample.sampled_method,
                ),
            ),
            ("Received", join_known(sample.received_on, doer(sample.received_by))),
            ("Condition", sample.condition),
            (
                "As received",
                f"{sample.as_received_water_content} % {case.word('water_content')}"
                if sample.as_received_water_content is not None
                else "",
            ),
            ("Retained on", retained_text(sample)),
        ]
    return fact_table("sample", "Sample", rows)


def class_cell(sample: SampleFacts) -> Cell:
    """Return the class of the soil and how it was found, linked to its page."""
    soil = join_known(sample.soil_class, sample.soil_group)
    basis = f" ({sample.class_basis})" if sample.class_basis else ""
    text = given(soil + basis, sample.soil_given_by)
    return Cell(text, ("soil", sample.soil_class)) if soil else Cell("")


def retained_text(sample: SampleFacts) -> str:
    """Return the gradation that the choice of method depends on."""
    text = join_known(
        *(
            f"{sieve}: {value} %"
            for field, sieve in GRADATION.items()
            if (value := getattr(sample, field)) is not None
        )
    )
    return given(text, sample.gradation_given_by)


def person_text(case: AnyTest, code: str | None) -> str:
    """Return a staff code, with the name where the laboratory gives it for printing."""
    if code is None:
        return ""
    lab = case.inputs.get(LaboratoryFacts, "lab")
    who = lab.person(code) if lab is not None else None
    return f"{who.name} ({code})" if who is not None and who.name else code


def oven_text(oven: Oven) -> str:
    """Return times and temperature of drying."""
    moments = [
        f"{lead} {moment:%Y-%m-%d %H:%M}"
        for lead, moment in (("in", oven.in_), ("out", oven.out))
        if moment is not None
    ]
    heat = f"{oven.temperature_c} °C" if oven.temperature_c is not None else ""
    return join_known(*moments, heat)


def of_lines(
    record: RecordOfWork, label: str, own: Iterable[tuple[int, str]], whole: str
) -> Iterator[tuple[str, str]]:
    """Return the rows of lines that differ from the whole test, alike ones together."""
    alike: dict[str, list[str]] = {}
    for i, text in own:
        if text and text != whole:
            alike.setdefault(text, []).append(str(i + 1))
    for text, numbers in alike.items():
        line = record.work.line if len(numbers) == 1 else record.work.lines
        yield f"{label}, {line} {', '.join(numbers)}", text


def act_text(case: AnyTest, act: Act) -> str:
    """Return the day of an act, and who did it."""
    return join_known(act.on, person_text(case, act.by))


def acts(case: AnyTest) -> Table:
    """Return the facts of who did what, and when."""
    record = case.record
    rows: list[tuple[str, Cell | str]] = []
    for name in record.work.acts:
        act, label = act_of(record, name), name.replace("_", " ").capitalize()
        text = act_text(case, act) if act is not None else ""
        rows += [(label, text)] if act is not None else []
        at_lines = ((i, act_text(case, one)) for i, one in acts_at_lines(record, name))
        rows += of_lines(record, label, at_lines, text)
    oven: Oven | None = getattr(record, "oven", None)
    rows += [("Oven", oven_text(oven))] if oven is not None else []
    dried = ((i, oven_text(one)) for i, one in ovens_at_lines(record))
    rows += of_lines(record, "Oven", dried, "")
    if record.entered is not None:
        rows.append(("Entered", person_text(case, record.entered.by)))
        rows.append(("Entry checked", person_text(case, record.entered.checked_by)))
    reviewed = record.reviewed
    rows.append(
        (
            "Reviewed",
            join_known(reviewed.on, person_text(case, reviewed.by))
            if reviewed
            else "Not reviewed",
        )
    )
    return fact_table("acts", "Work and review", rows)


EquipmentRow: TypeAlias = tuple[str, str, str, date | None, date | None]
"""Equipment as a report lists it: label, id, what it is, calibrated, next due."""


ROLES = {"moisture_balance": "Balance for containers"}
"""What a device is for, if the name of its field does not say it."""


def as_found(facts: DeviceFacts | MoldFacts | PycnometerFacts) -> str:
    """Return that what was found after the test counts, and since when; else blank."""
    if facts.wrong_since is None:
        return ""
    return f"as found on {facts.calibrated_on}, which counts since {facts.wrong_since}"


def device_rows(case: AnyTest) -> Iterator[EquipmentRow]:
    """Return every device of a test, with its calibration in force that day."""
    seen = set()
    for ref in device_refs(case.record):
        device = case.inputs.get(DeviceFacts, ref.id, ref.on)
        if device is not None:
            name = str(ref.field[-1])
            if (name, device.calibrated_on) in seen:
                continue  # used on several days, under one calibration
            seen.add((name, device.calibrated_on))
            label = ROLES.get(name, name.replace("_", " ").capitalize())
            what = join_known(device.name, device.opening, as_found(device))
            yield label, device.id, what, device.calibrated_on, device.next_due


def equipment(rows: Iterable[EquipmentRow]) -> Table | None:
    """Return the table of equipment; None where none is named."""
    lines = tuple(
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
    )
    if not lines:
        return None
    heads = ("Equipment", "No.", "Description", "Calibrated", "Next due")
    columns = tuple(map(Column, heads))
    return Table("equipment", "Equipment", columns, lines, role="more")
