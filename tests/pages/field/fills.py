"""Invented fills: field tests and papers in the form in which results tell them."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.field_tests import told_by
from buildsite.kinds.field_answers import RequirementFacts
from buildsite.kinds.field_control.results import FieldTest, LiftPaper, Told
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.page import site_of
from buildsite.pages.rows import Row
from buildsite.pages.site_sources import Options
from tests.archives import archive_of, folder

ROOT = Path(__file__).parents[3]
PROJECT = "heron-flats"
FACTOR = 16.018463  # kg/m³ in a lb/ft³ (NIST SP 811, B.8)

Result = Mapping[str, Any]


def reported(name: str, value: float) -> dict[str, Any]:
    """One result as `show --json` has it."""
    if name.endswith("density"):
        text = f"{value / FACTOR:.1f} lb/ft3"
        return {"value": value, "unit": "kg/m3", "reported": text}
    return {"value": value, "unit": "%", "reported": f"{value:.1f} %"}


def told(
    zone: str = "embankment",
    lift: str = "1",
    verdict: str = "pass",
    on: str = "2026-06-01",
    percent: float = 97.2,
    water: float = 17.5,
    maximum: float = 108.0,
    **field: Any,
) -> Result:
    """The result of a field test, as a kind tells it."""
    dry = percent / 100 * maximum * FACTOR
    values = {
        "wet_density": dry * (1 + water / 100),
        "dry_density": dry,
        "water_content": water,
        "percent_compaction": percent,
        "water_content_deviation": water - 17.7,
    }
    return {
        "results": {name: reported(name, value) for name, value in values.items()},
        "acceptance": {
            "verdict": verdict,
            "why": "",
            "reference": "HF-0117.issued.yaml#2",
            "decision": "simple",
            "criteria": [
                {
                    "criterion": "percent_compaction",
                    "side": "least",
                    "limit": "95",
                    "unit": "%",
                    "compare": "rounded",
                    "compared": f"{percent:.0f}",
                    "met": round(percent) >= 95,
                },
                *(
                    {
                        "criterion": "water_content",
                        "side": side,
                        "limit": limit,
                        "unit": "points",
                        "compare": "rounded",
                        "compared": f"{water - 17.7:.1f}",
                        "met": True,
                    }
                    for side, limit in (("least", "-2"), ("most", "2"))
                ),
            ],
        },
        "field": {
            "zone": zone,
            "lift": lift,
            "place": "station 12+40, 3.2 m left",
            "position": {"station": "12+40", "offset": "3.2", "side": "left"},
            "coordinates": None,
            "purpose": "acceptance",
            "retest_of": None,
            "check_of": None,
            "rework": None,
            "disposition": None,
            "apparatus": "sand-cone",
            "reference": "HF-0117",
            "reference_revision": "HF-0117 r2",
            "reference_basis": "one-point",
            "reference_by": "T07",
            "tested_on": on,
            "tested_at": "",
            "tested_by": "T07",
            "target": {
                "maximum_dry_density": maximum * FACTOR,
                "optimum_water_content": 17.7,
                "how": "result of HF-0117 r2",
            },
            "point": {
                "fraction": "whole",
                "dry_density": dry,
                "water_content": water,
                "density_unit": "lb/ft3",
            },
            "position_unit": "m",
            "coarse": None,
            "preliminary_water": False,
            **field,
        },
    }


def accepted(zone: str, lift: str, on: str, by: str = "E02") -> Result:
    """The acceptance of a lift, as a kind tells it."""
    paper = {"zone": zone, "lift": lift, "tests": [], "basis": "three tests pass"}
    return {"lift": {**paper, "accepted": {"on": on, "by": by}}}


def day(on: str, tests: Iterable[str]) -> Result:
    """A daily report, as a kind tells it."""
    return {"day": {"on": on, "inspector": "T07", "tests": [*tests]}}


def requirement(zone: str, number: int | None = 3) -> RequirementFacts:
    """What the project asks of a zone."""
    return RequirementFacts(
        zone=zone,
        clause="203.05",
        designation="AASHTO T 99",
        edition="",
        method="A",
        least_percent_compaction=None,
        least_dry_density=None,
        density_unit="",
        water_content=None,
        compare=(),
        reference_values="reported",
        oversize="none",
        decision="simple",
        agreed_on=None,
        tests_required_each="lift" if number is not None else "",
        tests_required=number,
    )


def one(id: str, result: Result, number: int | None = 3) -> Told:
    """A field test or paper, with what its project asks."""
    found = told_by(result, f"records/{PROJECT}/tests/{id}.yaml")
    assert found is not None
    if isinstance(found, FieldTest):
        return replace(found, requirement=requirement(found.zone, number))
    if isinstance(found, LiftPaper):
        return replace(found, issued=True)
    return found


def field_one(id: str, number: int | None = 3, **about: Any) -> FieldTest:
    """A field test."""
    found = one(id, told(**about), number)
    assert isinstance(found, FieldTest)
    return found


def fill(seed: int = 7) -> Iterator[tuple[str, Result]]:
    """
    Three zones over twelve days, as a roller leaves them.

    Every lift is tested at three places; a failure is retested the day after, but the
    last of each zone; a lift without one is accepted.
    """
    random = Random(seed)  # noqa: S311 (not a secret)
    number = 0
    for column, zone in enumerate(("abutment", "embankment", "upper 2 ft")):
        for lift in range(1, 8):
            today = date(2026, 6, 1) + timedelta(days=lift + column)
            failed = ""
            for _ in range(3 if (zone, lift) != ("abutment", 7) else 1):
                number += 1
                percent = random.gauss(97.4, 1.7)
                ok = percent >= 94.5
                at = random.randint(2, 38) * 50
                words = f"{at // 100}+{at % 100:02d}"
                place: dict[str, Any] = {
                    "place": f"station {words}, 3 m left",
                    "position": {"station": words, "offset": "3", "side": "left"},
                }
                id = f"HF-F{number:04d}"
                yield (
                    id,
                    told(
                        zone,
                        str(lift),
                        "pass" if ok else "fail",
                        str(today),
                        percent,
                        random.gauss(17.4, 0.9),
                        **place,
                    ),
                )
                if not ok and lift < 6:
                    number += 1
                    yield (
                        f"HF-F{number:04d}",
                        told(
                            zone,
                            str(lift),
                            "pass",
                            str(today + timedelta(days=1)),
                            98.1,
                            17.2,
                            retest_of=id,
                            rework={"what": "rolled four passes", "by": "T07"},
                            **place,
                        ),
                    )
                elif not ok:
                    failed = id
            if not failed and lift < 6:
                number += 1
                yield (
                    f"HF-L{number:04d}",
                    accepted(zone, str(lift), str(today + timedelta(days=2))),
                )
    yield "HF-D0001", day("2026-06-03", ["HF-F0001", "HF-F0002"])


@cache
def demo() -> Archive:
    """The demo's records, whose curves invented tests are judged by."""
    files = {f"records/{name}": data for name, data in folder(ROOT / "records").items()}
    return archive_of(files)


def row(file: str, told: Told) -> Row:
    """The row of a field test or paper."""
    return Row(
        file=file,
        id=told.id,
        page=True,
        kind="field-density",
        title="Field density",
        status="complete",
        project=PROJECT,
        day=told.tested_on if isinstance(told, FieldTest) else None,
        told=told,
        issued_as="report" if isinstance(told, LiftPaper) and told.issued else "",
    )


def context(told: Iterable[Told], options: Options | None = None) -> IndexContext:
    """What the pages of a fill are made of."""
    rows = [row(f"records/{PROJECT}/tests/{one.id}.yaml", one) for one in told]
    site = site_of(demo(), options or Options(without_history=True))
    return IndexContext(site, tuple(rows))


def filled() -> IndexContext:
    """The invented fill on the demo's project."""
    return context(one(id, result) for id, result in fill())
