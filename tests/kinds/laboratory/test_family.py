"""A family of curves: its members as last reported, and its page."""

import pytest

from buildsite.kinds.field_answers import FamilyFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.sheet import Plot
from tests.archives import Files, archive_of, changed, issued, sound

FILE = "records/marsh-lane/families/cutting-1.yaml"
ML_101 = "records/marsh-lane/tests/ML-101.yaml"
POINT_3 = b"mold_and_wet_soil: 8.64"


def family(files: Files) -> FamilyFacts:
    made = archive_of(files).outcome(FILE)
    assert made is not None
    facts = made.kind.answers(made.case, Ref(FamilyFacts, (), "cutting-1", ()))
    assert isinstance(facts, FamilyFacts)
    return facts


def test_members_are_as_reported_and_as_their_records_say() -> None:
    facts = family(sound(("family",)))

    first = facts.members[0]
    assert [one.id for one in facts.members] == ["ML-101", "ML-107", "ML-108"]
    assert (first.designation, first.method) == ("AASHTO T 99", "A")
    assert (first.effort, first.preparation) == ("standard", "moist")
    assert (first.operation, first.face) == ("mechanical", "round")
    assert first.revision == "ML-101 r0"
    # By hand: tests/archives.py, at ML_101_MAXIMUM.
    assert str(first.peak.reported_density) == "108.1"
    assert first.peak.optimum_water_content == pytest.approx(17.66, abs=0.005)
    assert len(first.points) == 5
    assert facts.without == ()


def test_an_edit_after_issue_moves_no_family_and_an_amendment_does() -> None:
    before = sound(("family",))
    edited = {**before, ML_101: before[ML_101].replace(POINT_3, POINT_3[:-1] + b"5")}
    amended = issued(edited, "marsh-lane/tests/ML-101", {})

    assert family(edited) == family(before)
    again = family(amended).members[0]
    assert again.revision == "ML-101 r1"
    assert again.peak.maximum_dry_density > 108.1 * 16.01846


def test_the_family_rests_on_the_reports_of_its_members() -> None:
    made = archive_of(sound(("family",))).outcome(FILE)

    assert made is not None
    assert "records/marsh-lane/tests/ML-108.issued.yaml#0" in made.inputs


def test_a_member_without_a_peak_is_named() -> None:
    files = changed(
        {
            "marsh-lane/families/cutting-1.yaml": [["ML-108]", "ML-108, ML-109]"]],
            "marsh-lane/tests/ML-109.yaml": (
                "format: 1\nkind: moisture-density\nid: ML-109\nproject: marsh-lane\n"
                "sample: ML-S1\nstandard: {designation: AASHTO T 99, method: A}\n"
                "compacted: {on: 2026-03-30}\nstatus: in-progress\n"
                "units: {density: lb/ft3}\npoints: []\n"
            ),
        },
        beside=("family",),
    )

    assert family(files).without == ("ML-109",)
    flags = archive_of(files).flags(FILE)
    assert [flag.flag for flag in flags] == ["reference-without-answer"]


def test_all_curves_the_spine_and_zero_air_voids_are_on_one_figure() -> None:
    made = archive_of(sound(("family",))).outcome(FILE)
    assert made is not None
    plot = next(one for one in made.sheet().blocks if isinstance(one, Plot))

    labels = [line.label for line in plot.lines]
    assert labels[:4] == ["ML-101", "ML-107", "ML-108", "spine"]
    assert labels[4].startswith("zero air voids")
    spine = plot.lines[3]
    assert list(spine.x) == sorted(spine.x)
    # 108.1 lb/ft³ by hand, tests/archives.py; the two others either side of it.
    assert spine.y[1] == pytest.approx(108.1, abs=0.05)
    assert spine.y[0] > spine.y[1] > spine.y[2]
    assert "peak of 108.1 lb/ft³ at 17.7 %" in plot.alt
