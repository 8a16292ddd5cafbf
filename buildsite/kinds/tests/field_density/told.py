"""What a field density tells: its part of a result, and its answers to others."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from buildsite.kinds.field_answers import FieldTestFacts, PlaceFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.neighbors import Neighbor
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.places import (
    coordinates,
    position_texts,
    position_words,
)
from buildsite.kinds.tests.field_density.water import way_of
from buildsite.soil.water import water_density


def detail(case: Test) -> Mapping[str, Any]:
    """Return verdict and place, as `show --json` gives them."""
    containers = [
        {
            "water_content": one.water_content,
            "moist_soil": one.moist_soil,
            "rejected": one.rejected,
        }
        for one in case.values.water.containers
    ]
    return {
        "acceptance": acceptance(case),
        "field": field(case),
        "containers": containers,
    }


def reference_item(case: Test) -> str:
    """
    Return the report that judged, as an input is named; a working record by its id.

    `HF-0117 r1` is `HF-0117.issued.yaml#1`.
    """
    facts = case.values.reference
    if facts is None:
        return case.record.reference or ""
    id, _, revision = facts.revision.rpartition(" r")
    return f"{id}.issued.yaml#{revision}" if id else facts.id


def acceptance(case: Test) -> dict[str, Any]:
    """Return the verdict with its criteria."""
    verdict = case.values.verdict
    return {
        "verdict": verdict.verdict,
        "why": verdict.why,
        "reference": reference_item(case),
        "decision": verdict.decision,
        "criteria": [
            {
                "criterion": one.criterion,
                "side": one.side,
                "limit": one.limit,
                "unit": one.unit,
                "compare": one.compare,
                "compared": one.compared,
                "met": one.met,
                **({"guard": one.guard} if one.guard else {}),
            }
            for one in verdict.criteria
        ],
    }


def texts_of(part: Any) -> dict[str, str] | None:
    """Return a part of the record as texts by the names in a record, as written."""
    if part is None:
        return None
    found = {
        (info.alias or name): getattr(part, name)
        for name, info in type(part).model_fields.items()
    }
    return {name: str(value) for name, value in found.items() if value is not None}


def target_json(case: Test) -> dict[str, Any] | None:
    """Return what the test was compared with, and how that came to be."""
    target = case.values.compared.target
    if target is None:
        return None
    return {
        "maximum_dry_density": target.maximum_dry_density,
        "optimum_water_content": target.optimum_water_content,
        "how": target.from_,
    }


def requirement_json(case: Test) -> dict[str, Any] | None:
    """Return the requirement that the test was judged by, as stated."""
    asked = case.values.requirement
    if asked is None:
        return None
    band, least = asked.water_content, asked.least_dry_density
    return {
        "clause": asked.clause,
        "least_percent_compaction": text_of(asked.least_percent_compaction),
        "least_dry_density": None
        if least is None
        else {"value": str(least), "unit": asked.density_unit},
        "water_content": None
        if band is None
        else {"from": str(band.from_), "to": str(band.to), "as": band.as_},
    }


def text_of(value: object) -> str | None:
    """Return a value as text, if there is one."""
    return None if value is None else str(value)


def point(case: Test) -> dict[str, Any]:
    """Return the point of the figure: what was compared, all of one fraction."""
    values, gravity = case.values, case.values.gravity
    heat = gravity.water_temperature_c if gravity is not None else None
    return {
        "fraction": values.compared.fraction,
        "dry_density": values.compared.dry_density,
        "water_content": values.compared.water,
        "specific_gravity": float(gravity.value) if gravity is not None else None,
        "water_density": water_density(min(max(float(heat or 20), 0.0), 40.0)),
        "density_unit": values.density_unit,
    }


def field(case: Test) -> dict[str, Any]:
    """Return place, reference and circumstances of the test, as plain texts."""
    record, values = case.record, case.values
    facts, split, water = values.reference, values.split, values.water
    day = record.tested.on
    return {
        "id": record.id,
        "project": record.project,
        "sample": record.sample or "",
        "purpose": record.purpose,
        "zone": record.zone or "",
        "lift": record.lift or "",
        "place": position_words(record),
        "position": position_texts(record),
        "coordinates": coordinates(record),
        "works": texts_of(record.works) or {},
        "depth_unit": record.units.depth or "",
        "tested_on": day.isoformat() if day is not None else "",
        "tested_at": record.tested.at or "",
        "tested_by": record.tested.by or "",
        "apparatus": record.apparatus,
        "retest_of": record.retest_of or "",
        "check_of": record.check_of or "",
        "rework": texts_of(record.rework),
        "disposition": texts_of(record.disposition),
        "reference": record.reference or "",
        "reference_revision": facts.revision if facts is not None else "",
        "reference_basis": record.reference_basis or "",
        "reference_by": record.reference_by or "",
        "requirement": requirement_json(case),
        "target": target_json(case),
        "oversize": values.compared.reason
        or ("corrected" if values.compared.corrected else "not corrected"),
        "percent_compaction": values.percent,
        "coarse": None
        if split is None
        else {"percent": split.percent, "sieve": split.sieve},
        "water": {
            "by": way_of(record),
            "field": water.field,
            "oven": water.oven,
            "total": water.total,
            "fine": water.fine,
        },
        "preliminary_water": values.preliminary,
        "point": point(case),
    }


def neighbor(case: Test) -> Neighbor | None:
    """Return the percent compaction, to be held against the tests around it."""
    record, percent, day = case.record, case.values.percent, case.record.tested.on
    target = record.target.source if record.target is not None else None
    of = record.reference or target or ""
    if percent is None or day is None:
        return None
    key = (record.project, record.zone or "", of)
    field = ("reference",) if record.reference is not None else ("target",)
    order = (day.isoformat(), record.tested.at or "")
    return Neighbor(key, order, percent, field)


def answer_from_result(result: Mapping[str, Any], ref: Ref) -> object | None:
    """Return what a result, as kept or as computed now, answers."""
    told = result.get("field")
    if not isinstance(told, Mapping):
        return None
    if ref.asks is PlaceFacts:
        return place_facts(result, told)
    if ref.asks is FieldTestFacts:
        return field_test_facts(result, told)
    return None


def day_of(told: Mapping[str, Any]) -> date | None:
    """Return the day of the test."""
    return date.fromisoformat(told["tested_on"]) if told["tested_on"] else None


def place_facts(result: Mapping[str, Any], told: Mapping[str, Any]) -> PlaceFacts:
    """Return where the test was made, and its verdict."""
    return PlaceFacts(
        id=told["id"],
        zone=told["zone"],
        lift=told["lift"],
        place=told["place"],
        coordinates=tuple(sorted(told["position"].items())),
        tested_on=day_of(told),
        verdict=result["acceptance"]["verdict"],
    )


def part_words(part: Mapping[str, str] | None, *names: str) -> str:
    """Return the named texts of a part, with commas."""
    texts = ((part or {}).get(name, "") for name in names)
    return ", ".join(filter(None, texts))


def disposition_words(part: Mapping[str, str] | None) -> str:
    """Return a disposition in words; blank where nobody signed it."""
    signed = part if part is not None and part.get("by") else None
    return part_words(signed, "as", "document", "by", "on")


def revision_of(result: Mapping[str, Any], id: str) -> str:
    """Return the report that a kept result is of; blank for one computed now."""
    number = result.get("revision")
    return "" if number is None else f"{id} r{number}"


def field_test_facts(
    result: Mapping[str, Any], told: Mapping[str, Any]
) -> FieldTestFacts:
    """Return place, results and verdict, as papers of the fill list them."""
    results, accepted = result["results"], result["acceptance"]

    def reported(name: str) -> str:
        return str(results[name]["reported"]) if name in results else ""

    return FieldTestFacts(
        id=told["id"],
        project=told["project"],
        zone=told["zone"],
        lift=told["lift"],
        place=told["place"],
        tested_on=day_of(told),
        purpose=told["purpose"],
        dry_density=reported("dry_density"),
        percent=reported("percent_compaction"),
        water=reported("water_content"),
        verdict=accepted["verdict"],
        why=accepted["why"],
        percent_value=told["percent_compaction"],
        position=tuple(sorted(told["position"].items())),
        retest_of=told["retest_of"],
        check_of=told["check_of"],
        rework=part_words(told["rework"], "what", "on", "by"),
        disposition=disposition_words(told["disposition"]),
        reference=told["reference_revision"] or told["reference"],
        revision=revision_of(result, told["id"]),
        tested_at=told["tested_at"],
        tested_by=told["tested_by"],
        apparatus=told["apparatus"],
    )
