"""The sheet of a sample."""

from buildsite.kinds.answers import SampleFacts, SpecificGravityFact, doer, given
from buildsite.kinds.kind import Case
from buildsite.kinds.laboratory.sample import Sample, facts_of
from buildsite.kinds.sheet import Cell, Sheet, fact_table
from buildsite.kinds.sieves import GRADATION
from buildsite.record.flags import Flag

USUAL_SIEVES = ("3/4 in", "3/8 in", "No. 4")
"""Sieves shown for every sample, stated or not."""


CLASSIFIED = {"tested": "testing", "visual": "visual examination"}
"""How the soil was classified, by `class_basis`."""


def gravity_cell(gravity: SpecificGravityFact | None, sample: str) -> Cell:
    """Return the specific gravity, and the test it is from."""
    if gravity is None:
        return Cell("—")
    figure = f"{gravity.value}, {gravity.basis}"
    text = given(figure, gravity.given_by, gravity.laboratory)
    if gravity.source == sample:
        return Cell(text)
    return Cell(f"{text}, {gravity.source}", ("test", gravity.source))


def sheet(case: Case[Sample, None], flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a sample."""
    answer = facts_of(case)
    gravity = answer.specific_gravity
    soil = ", ".join(part for part in (answer.soil_class, answer.soil_group) if part)
    soil_page = ("soil", answer.soil_class) if answer.soil_class else None
    kept = case.record.retained_until
    facts: list[tuple[str, Cell | str]] = [
        ("Project", Cell(answer.project, ("project", answer.project))),
        ("Soil", given(answer.soil_name, answer.soil_given_by) or "—"),
        ("Class", Cell(given(soil, answer.soil_given_by) or "—", soil_page)),
        ("Classified by", CLASSIFIED.get(answer.class_basis, "—")),
        ("Source", answer.soil_source or "—"),
        ("Received", _when(answer.received_on, doer(answer.received_by))),
        ("Condition", answer.condition or "—"),
        ("Sampled", _when(answer.sampled_on, doer(answer.sampled_by))),
        ("Sampling method", answer.sampled_method or "—"),
        ("Place", _when(answer.sampled_place, answer.location)),
        ("Depth", depth_of(answer) or "—"),
        ("Water content as received", _percent(answer.as_received_water_content)),
        ("Specific gravity", gravity_cell(gravity, answer.id)),
        *(
            (
                f"Retained on {sieve}",
                given(_percent(getattr(answer, field)), answer.gradation_given_by),
            )
            for field, sieve in GRADATION.items()
            if sieve in USUAL_SIEVES or getattr(answer, field) is not None
        ),
        ("Kept until", kept.isoformat() if kept else "—"),
    ]
    gone = case.record.discarded
    if gone is not None and gone.on is not None:
        facts.append(("Discarded", _when(gone.on, gone.by or "")))
    return Sheet(answer.id, answer.soil_name, (fact_table("about", "Sample", facts),))


def depth_of(sample: SampleFacts) -> str:
    """Return the depth of the sample, for reading."""
    top, base = sample.depth_top_m, sample.depth_base_m
    if top is not None and base is not None:
        return f"{top} m to {base} m"
    known = top if top is not None else base
    return "" if known is None else f"{known} m"


def _when(on: object, by: str) -> str:
    return ", ".join(str(part) for part in (on, by) if part) or "—"


def _percent(value: object) -> str:
    return f"{value} %" if value is not None else "—"
