"""The blank of a field density: only the lines that its apparatus needs."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from buildsite.kinds.blank import (
    USUAL_STANDARD,
    Answers,
    ArchiveContext,
    Ask,
    Blank,
    Series,
    answered,
)
from buildsite.kinds.field_answers import (
    BalloonFacts,
    DriveCylinderFacts,
    GaugeFacts,
    ProjectRequirements,
    SandConeFacts,
)
from buildsite.kinds.tests.field_density.model import FieldDensity
from buildsite.kinds.tests.field_density.places import place_words
from buildsite.kinds.tests.field_density.stations import next_station
from buildsite.kinds.tests.shared import blank
from buildsite.kinds.tests.shared.record import tested_on
from buildsite.standards.tables import designations, find

APPARATUS = ("sand-cone", "drive-cylinder", "nuclear-gauge", "balloon")
WATER_BY = ("oven", "stove", "microwave", "gas-pressure", "gauge")
SIDES = ("left", "right", "centerline")

HEAD = """format: 1
kind: field-density
id: {id}
project: {project}
purpose: {purpose}     # acceptance | contractor-control | assurance | information
zone: {zone}
lift: {lift}
position: {{station: {station}, offset: {offset}, side: {side}}}
apparatus: {APPARATUS}
standard: {{designation: {standard}, edition: {edition}, method: none}}
reference: {reference}
reference_basis: {reference_basis}       # one-point | visual match | source
tested: {{on: {on}, at: , by: {by}}}
"""
DRIED = "dried: {{on: , by: }}\n"
UNITS = """units: {{mass: {mass_unit}, moisture: {moisture_unit}, \
density: {density_unit}, volume: {volume_unit}, \
position: {position_unit}, depth: {depth_unit}}}
"""
USED = "balance: {balance}, moisture_balance: {moisture_balance}, oven: {oven}"
SIZE = "largest_particle: {largest_particle}\n"
SOIL = "container_mass: {container_mass}\ncontainer_and_wet_soil:\nwet_soil:\n"

OWN = {
    "sand-cone": f"""equipment: {{{{sand_cone: {{sand_cone}}, {USED}}}}}
{SIZE}sand_bag: {{sand_bag}}
apparatus_before:
{SOIL}apparatus_after:
""",
    "drive-cylinder": f"""equipment: {{{{cylinder: {{cylinder}}, {USED}}}}}
{SIZE}cylinder_and_wet_soil:
cylinder_specimen: {{{{recovery: , ends: , soil: }}}}
""",
    "nuclear-gauge": f"""equipment: {{{{gauge: {{gauge}}, {USED}}}}}
{SIZE}gauge:
  mode: {{mode}}            # direct | backscatter
  depth: {{depth}}
  near_wall:              # within 0.6 m of a wall or a trench face: yes
  offset: {{{{value: {{offset_value}}, unit: {{offset_unit}}, \
applied: {{offset_applied}}, soil: {{offset_soil}}}}}}
  readings:
    - {{{{wet_density: , water: }}}}
""",
    "balloon": f"""equipment: {{{{balloon: {{balloon}}, {USED}}}}}
{SIZE}volume_before:
{SOIL}volume_after:
pressure: {{pressure}}                 # kPa
""",
}

CONTAINERS = """containers:
  - {{container: , container_mass: , container_and_wet: , container_and_dry: }}
"""
WATER = {
    "oven": CONTAINERS + blank.OVEN,
    "stove": CONTAINERS,
    "microwave": CONTAINERS,
    "gas-pressure": "water_content:\nwater_basis: wet\n",
    "gauge": "",
}


def apparatus_of(answers: Answers) -> str:
    """Return the apparatus that was answered, or that of the standard."""
    named = answers.get("apparatus", "")
    return named if named in OWN else served_by(answers.get("standard", ""))


def served_by(designation: str) -> str:
    """Return the apparatus that a standard is of; the sand cone where unknown."""
    method = find(designation, "none")
    cell = method.optional("apparatus") if method is not None else None
    return cell.value if cell is not None else APPARATUS[0]


def serves(designation: str, answers: Answers) -> bool:
    """Whether a standard is of the apparatus that was answered."""
    return answers.get("apparatus", "") in ("", served_by(designation))


def text_of(answers: Answers) -> str:
    """Return the text of a new record of one apparatus."""
    apparatus = apparatus_of(answers)
    water = answers.get("water_content_by") or usual_water(apparatus)
    head = HEAD.replace("{APPARATUS}", apparatus)
    dried = "" if water in ("gas-pressure", "gauge") else DRIED
    way = f"water_content_by: {water}\n{WATER.get(water, CONTAINERS)}"
    own = f"{UNITS}{OWN[apparatus]}{way}"
    return f'{head}{dried}{blank.ENTERED}{own}remarks: ""\n'


def before(
    context: ArchiveContext, project: str, word: str = ""
) -> Sequence[FieldDensity]:
    """Return earlier tests of a project, the last made first; `word` stands in them."""
    found = [one for one in context.earlier(word or project) if one.project == project]
    return sorted(found, key=when_made, reverse=True)


def when_made(one: FieldDensity) -> tuple[date, str]:
    """Return the day of a test, and its id, by which tests of a day follow."""
    return one.tested.on or date.min, one.id


def in_zone(
    context: ArchiveContext, zone: str, latest: Sequence[FieldDensity]
) -> Sequence[FieldDensity]:
    """Return the latest tests of a project that are of a zone, or all of the zone."""
    project = context.answers.get("project", "")
    found = [one for one in latest if one.zone == zone]
    return found or [one for one in before(context, project, zone) if one.zone == zone]


def stations(tests: Sequence[FieldDensity], lift: str) -> list[str]:
    """Return the stations in a lift, the latest first, of tests at new places."""
    return [
        one.position.station or ""
        for one in tests
        if one.lift == lift and one.position and not one.retest_of and not one.check_of
    ]


def zones(context: ArchiveContext) -> tuple[str, ...]:
    """Return the zones that the project states requirements for."""
    project = context.answers.get("project", "")
    stated = context.facts(ProjectRequirements, ("project",), None)
    return tuple(
        one.zone for each in stated if each.id == project for one in each.requirements
    )


FACTS = {
    "sand_cone": (SandConeFacts, "sand-cone"),
    "cylinder": (DriveCylinderFacts, "drive-cylinder"),
    "gauge": (GaugeFacts, "gauge"),
    "balloon": (BalloonFacts, "balloon"),
}


def in_force(one: Any, on: date | None) -> bool:
    """Whether an apparatus may be used on a day, by its due date."""
    return on is None or one.next_due is None or one.next_due >= on


def in_use(context: ArchiveContext, used: Sequence[FieldDensity]) -> dict[str, str]:
    """Return the apparatus last used, or the only one; of a sand cone its bag."""
    found = {}
    for name, (asks, kind) in FACTS.items():
        there = [
            one
            for one in context.facts(asks, (kind,), context.on)
            if in_force(one, context.on)
        ]
        found[name] = blank.choose([one.id for one in there], used, name)
        if name == "sand_cone":
            bags = next((one.bags for one in there if one.id == found[name]), ())
            last = next((one.sand_bag for one in used if one.sand_bag), "")
            found["sand_bag"] = last if last in bags else next(iter(bags), "")
    return found


LOADS = {
    "balance": blank.Load(0.005, 5.0, "resolution_mass_g"),
    "moisture_balance": blank.Load(0.0001, 0.3, "resolution_moisture_g"),
}


def suggest(context: ArchiveContext) -> Mapping[str, str]:
    """Return what is known of the next test: the last one in the zone, a step on."""
    answers = dict(context.answers)
    known = zones(context)
    project = before(context, answers.get("project", ""))
    zone = answers.get("zone") or (project[0].zone if project else "") or first(known)
    found: dict[str, str] = {"zone": zone or ""}
    here = in_zone(context, zone, project) if zone else project
    lift = answers.get("lift") or (here[0].lift if here else "") or ""
    found["lift"] = lift
    found |= {name: text for name, text in from_last(here or project) if text}
    named = served_by(answers["standard"]) if answers.get("standard") else ""
    found["apparatus"] = (
        answers.get("apparatus") or named or found.get("apparatus", APPARATUS[0])
    )
    if project and found["apparatus"] != (here or project)[0].apparatus:
        found["water_content_by"] = usual_water(found["apparatus"])
    found["station"] = next_station(stations(here, lift)) if lift else ""
    answers |= {name: answers.get(name) or text for name, text in found.items()}
    found |= standard_for(answers)
    row = blank.method_row({**answers, **found, "method": "none"})
    fits = {name: one.fits(row) for name, one in LOADS.items()}
    whole = ArchiveContext({**answers, **found}, *asked_of(context))
    found |= blank.equipment(whole, FieldDensity.work, fits)
    return found | in_use(whole, here or project)


def usual_water(apparatus: str) -> str:
    """Return how the water content is usually found beside an apparatus."""
    return "gauge" if apparatus == "nuclear-gauge" else "oven"


def asked_of(context: ArchiveContext) -> tuple[Any, Any]:
    """Return where a context asks."""
    return context.facts, context.earlier


def first(names: Sequence[str]) -> str:
    """Return the only name; blank where there are several."""
    return names[0] if len(names) == 1 else ""


def standard_for(answers: Answers) -> dict[str, str]:
    """Return a standard of the apparatus, of the publisher usual here; its edition."""
    named = answers.get("standard", "")
    if not named:
        publisher = answers.get(USUAL_STANDARD, "").partition(" ")[0]
        every = [one for one in designations("field-density") if serves(one, answers)]
        own = [one for one in every if one.partition(" ")[0] == publisher]
        named = (own or every)[0]
    usual = blank.method_of(ArchiveContext({"standard": named}, no_facts, no_records))
    return {"standard": named, "edition": usual.get("edition", "")}


def no_facts(asks: type, kinds: tuple[str, ...], on: date | None) -> tuple[Any, ...]:
    return ()


def no_records(word: str) -> tuple[Any, ...]:
    return ()


def from_last(tests: Sequence[FieldDensity]) -> Iterator[tuple[str, str]]:
    """Yield what the next test takes from the last one."""
    if not tests:
        return
    last, place = tests[0], tests[0].position
    yield "apparatus", last.apparatus
    yield "purpose", last.purpose
    yield "reference", last.reference or ""
    yield "reference_basis", last.reference_basis or ""
    yield "largest_particle", last.largest_particle or ""
    yield "water_content_by", last.water_content_by or ""
    yield "container_mass", text(last.container_mass)
    yield "pressure", text(last.pressure)
    if place is not None:
        yield "offset", text(place.offset)
        yield "side", place.side or ""
    for name in type(last.units).model_fields:
        yield f"{name}_unit", text(getattr(last.units, name))
    if last.gauge is not None:
        yield "mode", last.gauge.mode or ""
        yield "depth", text(last.gauge.depth)
        offset = last.gauge.offset
        if offset is not None:
            yield "offset_value", text(offset.value)
            yield "offset_unit", offset.unit or ""
            yield "offset_applied", offset.applied or ""
            yield "offset_soil", offset.soil or ""


def text(value: object) -> str:
    """Return a value as written; blank where there is none."""
    return "" if value is None else str(value)


def takes(last: FieldDensity) -> Answers:
    """Return the answers that the next test of a morning has from the last."""
    day, used = last.tested, last.standard
    return {
        "project": last.project,
        "zone": last.zone or "",
        "lift": last.lift or "",
        "apparatus": last.apparatus,
        "standard": used.designation,
        "edition": used.edition or "",
        "on": text(day.on),
        "by": day.by or "",
    }


def same_day(one: FieldDensity, other: FieldDensity) -> bool:
    """Whether two tests are of one day's work on a project."""
    return tested_on(one) == tested_on(other) and one.project == other.project


PLACES = (
    "purpose",
    "reference_basis",
    *FACTS,
    "sand_bag",
    "balance",
    "moisture_balance",
    "oven",
    "container_mass",
    "pressure",
    "mode",
    "depth",
    "offset_value",
    "offset_unit",
    "offset_applied",
    "offset_soil",
    *(f"{name}_unit" for name in ("mass", "moisture", "density", "volume")),
    "position_unit",
    "depth_unit",
)

ASKS = (
    Ask("project", "Project"),
    Ask("zone", "Zone, as the project's requirements name it"),
    Ask("lift", "Lift"),
    Ask("apparatus", "Apparatus", choices=APPARATUS),
    Ask("standard", "Standard, such as AASHTO T 191", "AASHTO T 191"),
    Ask("edition", "Edition, such as 14(2018) or 15e1"),
    Ask("station", "Station, such as 12+40"),
    Ask("offset", "Offset from the line", when=answered("station")),
    Ask("side", "Side", choices=SIDES, when=answered("offset")),
    Ask("reference", "Reference: compaction test or one-point, such as HF-0117"),
    Ask("largest_particle", "Finest sieve that all of the soil passes, as 3/4 in"),
    Ask("water_content_by", "Water content by", choices=WATER_BY),
    Ask("on", "Tested on (YYYY-MM-DD)"),
    Ask("by", "Tested by (staff code)"),
)

BLANK = Blank(
    text_of({}),
    "F",
    ASKS,
    PLACES,
    suggest,
    usual={
        "purpose": "acceptance",
        "mass_unit": "g",
        "moisture_unit": "g",
        "density_unit": "lb/ft3",
        "volume_unit": "cm3",
        "position_unit": "ft",
        "depth_unit": "in",
    },
    varies=text_of,
    serves=serves,
    series=Series(takes, tested_on, same_day, place_words, "station"),
)
