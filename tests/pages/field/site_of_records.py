"""A small archive with real field densities of one lift: a failure and its retest."""

from pathlib import Path

from buildsite.build import build
from buildsite.pages.site_sources import Options
from tests.archives import changed
from tests.cli.running import run
from tests.clones import clone, git
from tests.issuing.clones import ATTRIBUTES

PROJECT = "marsh-lane"
REQUIREMENT = """publish: yes
engineer_of_record: [E02]
requirements:
  - zone: embankment
    clause: "203.05"
    standard: {designation: AASHTO T 99, method: A}
    least_percent_compaction: "95"
    water_content: {from: -2, to: 2, as: points}
    compare: rounded
    tests_required: {each: lift, number: 1}
"""

FIELD_DENSITY = """format: 1
kind: field-density
id: {id}
project: marsh-lane
zone: embankment
lift: "7"
position: {{station: "12+40", offset: 3.2, side: left, elevation: "{elevation}"}}
apparatus: sand-cone
standard: {{designation: AASHTO T 191, edition: "14(2018)", method: none}}
reference: ML-101
reference_basis: source
reference_by: T07
tested: {{on: {on}, at: "10:40", by: T07}}
entered: {{by: T07, checked_by: T04}}
reviewed: {{on: 2026-06-04, by: E02}}
status: complete
units: {{mass: g, moisture: g, density: g/cm3, volume: cm3, position: m, depth: mm}}
largest_particle: No. 4
apparatus_before: 8084
apparatus_after: 4172
wet_soil: {wet}
water_content_by: oven
water_content: 17.0
sand: {{bulk_density: 1.507, cone: 1480}}
{more}"""
"""Hole 2432/1.507 = 1613.80 cm³ (by hand). The reference is ML-101: 108.1 lb/ft³ is
1.73160 g/cm³ (0.016018463 g/cm³ a lb/ft³, NIST SP 811, B.8). 3000 g wet: 1.85897 wet,
1.58887 dry, 91.76 %; 3150 g: 1.95192 wet, 1.66831 dry, 96.35 %."""

REWORK = """retest_of: ML-F001
rework: {what: scarified and rolled again, on: 2026-06-03, by: T07}
"""
ACCEPTANCE = """format: 1
kind: lift-acceptance
id: ML-L001
project: marsh-lane
zone: embankment
lift: "7"
tests: [ML-F001, ML-F002]
lift_accepted: {on: 2026-06-05, by: E02, document: letter 12}
basis: ""
entered: {by: E02, checked_by: T07}
reviewed: {on: 2026-06-05, by: E02}
status: complete
"""

ISSUE = ("--authorized-by", "E02", "--reason", "first issue", "--on", "2026-06-05")


def records() -> dict[str, bytes]:
    """Every file of the archive, nothing issued."""
    files = dict(
        changed(
            {
                "marsh-lane/project.yaml": [
                    [
                        "name: Marsh Lane, invented to try the checks\n",
                        "name: Marsh Lane, invented to try the checks\n" + REQUIREMENT,
                    ]
                ]
            }
        )
    )
    made = (
        ("ML-F001", "2026-06-02", "3000", "101.20", ""),
        ("ML-F002", "2026-06-03", "3150", "101.15", REWORK),
    )
    for id, on, wet, elevation, more in made:
        text = FIELD_DENSITY.format(
            id=id, on=on, wet=wet, elevation=elevation, more=more
        )
        files[f"records/{PROJECT}/tests/{id}.yaml"] = text.encode()
    files[f"records/{PROJECT}/acceptances/ML-L001.yaml"] = ACCEPTANCE.encode()
    return {**files, ".gitattributes": ATTRIBUTES}


def archive(root: Path, *issued: str) -> Path:
    """Make the archive, and issue tests of it."""
    clone(root, records())
    git(root, "config", "user.name", "A")
    git(root, "config", "user.email", "a@lab.example")
    for test in issued:
        ran = run("issue", test, *ISSUE, "--root", root)
        assert ran.status == 0, ran.err
    return root


def site(root: Path, out: Path, *, release: bool = False) -> Path:
    """Build the site of the archive."""
    build(root, out, Options(release=release), 1)
    return out
