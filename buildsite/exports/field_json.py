"""The field tests of a project as JSON: one object a test, in order of date."""

from collections.abc import Mapping, Sequence
from typing import Any

from buildsite.exports.result_json import as_json
from buildsite.kinds.field_control.closing import Closed
from buildsite.kinds.field_control.results import FieldTest


def field_object(test: FieldTest, closed_by: str = "") -> dict[str, Any]:
    """Return one field test as plain data: what a page may show, and no more."""
    return {
        "id": test.id,
        "project": test.project,
        "zone": test.zone,
        "lift": test.lift,
        "place": test.place,
        "position": dict(test.position),
        "position_unit": test.position_unit,
        "coordinates": dict(test.coordinates),
        "purpose": test.purpose,
        "apparatus": test.apparatus,
        "tested": {"on": test.tested_on, "at": test.tested_at, "by": test.tested_by},
        "results": {
            name: {"value": one.value, "unit": one.unit, "reported": one.text}
            for name, one in test.results
        },
        "acceptance": {
            "verdict": test.verdict,
            "why": test.why,
            "decision": test.decision,
            "criteria": [
                {
                    "criterion": one.name,
                    "side": one.side,
                    "limit": one.limit,
                    "unit": one.unit,
                    "compare": one.compare,
                    "compared": one.compared,
                    "met": one.met,
                }
                for one in test.criteria
            ],
        },
        "reference": test.reference,
        "judged_by": test.judged_by,
        "reference_basis": test.basis,
        "target": {
            "maximum_dry_density": test.maximum,
            "maximum_dry_density_unit": "kg/m3",
            "optimum_water_content": test.optimum,
            "how": test.how,
            "fraction": test.fraction,
        },
        "coarse": test.coarse,
        "retest_of": test.retest_of,
        "check_of": test.check_of,
        "rework": test.rework,
        "closed_by": closed_by,
        "preliminary_water": test.preliminary_water,
        "state": test.state,
        "revision": test.revision,
        "issued_on": test.issued_on,
    }


def words_of(closed: Mapping[str, Closed], test: FieldTest) -> str:
    """Return what closed a failure: the id of a retest, or the disposition."""
    how = closed.get(test.id)
    return how.words if how is not None else ""


def field_json(tests: Sequence[FieldTest], closed: Mapping[str, Closed]) -> bytes:
    """Return the field tests as JSON; `closed` says what closed each failure."""
    objects = [field_object(test, words_of(closed, test)) for test in tests]
    return as_json({"format": 1, "tests": objects})
