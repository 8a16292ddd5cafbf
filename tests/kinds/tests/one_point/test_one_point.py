"""A one-point: by hand, on a family of reports, and as a reference of field tests."""

import json

import pytest

from buildsite.exports.result_json import result_json
from buildsite.kinds.field_answers import ReferenceFacts
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Plot, Table
from tests.archives import archive_of, changed, issued, sound
from tests.kinds.making import POUND_PER_CUBIC_FOOT, made

FILE = "records/marsh-lane/tests/ML-P0001.yaml"
ALONE = """\
kind: one-point
id: X-1
standard: {designation: AASHTO T 272, method: A, effort: T 99}
compacted: {on: 2026-05-04, by: T07}
status: complete
"""
# Three parabolas by hand: maximum 120, 112, 104 lb/ft³ at 12, 15, 18 %; they fall by
# 0.9, 0.6 and 0.3 (w − optimum)².
MEMBERS = "members:\n" + "".join(
    f"  - {{maximum_dry_density: {peak}, optimum_water_content: {optimum}, points: ["
    + ", ".join(
        f"{{water_content: {optimum + x / 2:g}, "
        f"dry_density: {peak - bend * (x / 2) ** 2:g}}}"
        for x in range(-8, 9)
        if x
    )
    + "]}\n"
    for peak, optimum, bend in ((120, 12, 0.9), (112, 15, 0.6), (104, 18, 0.3))
)


def told(outcome: Outcome) -> dict:  # type: ignore[type-arg]
    """The result as `show --json` gives it."""
    found: dict = json.loads(result_json(outcome, {}))  # type: ignore[type-arg]
    return found


def alone(point: str, more: str = "units: {density: lb/ft3}\n") -> dict:  # type: ignore[type-arg]
    return told(made(f"{ALONE}{more}{MEMBERS}point: {point}\n"))


def on_site(files: object = None) -> Outcome:
    archive = archive_of(files or sound(("family",)))  # type: ignore[arg-type]
    outcome = archive.outcome(FILE)
    assert outcome is not None
    return outcome


def test_between_two_members_by_hand() -> None:
    # Half way: optimum 13.5, maximum 116, bend 0.75. At 12 %: 116 − 0.75 × 1.5² =
    # 114.3125; 12 / 13.5 = 88.9 %.
    found = alone("{water_content: 12.0, dry_density: 114.3125}")

    assert found["curve"]["rule"] == "between-members"
    assert found["curve"]["members"] == ["member 1", "member 2"]
    assert found["curve"]["percent_of_optimum"] == pytest.approx(88.9, abs=0.2)
    results = found["results"]
    # A curve through stated points is no parabola between them: 0.05 lb/ft³.
    density = results["maximum_dry_density"]["value"] / POUND_PER_CUBIC_FOOT
    assert density == pytest.approx(116, abs=0.05)
    assert results["optimum_water_content"]["value"] == pytest.approx(13.5, abs=0.02)
    assert results["maximum_dry_density"]["reported"] == "116.0 lb/ft3"
    assert results["optimum_water_content"]["reported"] == "13.5 %"


def test_on_a_member() -> None:
    # 112 − 0.6 × 1.5² = 110.65 at 13.5 %, 90 % of 15 %.
    found = alone("{water_content: 13.5, dry_density: 110.65}")

    assert found["curve"]["rule"] == "on-member"
    assert found["curve"]["members"] == ["member 2"]
    assert found["curve"]["percent_of_optimum"] == pytest.approx(90)
    assert found["results"]["maximum_dry_density"]["reported"] == "112.0 lb/ft3"
    assert found["results"]["optimum_water_content"]["reported"] == "15.0 %"


@pytest.mark.parametrize(
    ("point", "reason"),
    [
        ("{water_content: 9.0, dry_density: 111.9}", "too-dry"),  # 75 % of 12 %
        ("{water_content: 19.0, dry_density: 103.0}", "wet-of-optimum"),
        ("{water_content: 13.0, dry_density: 125.0}", "above-family"),
        ("{water_content: 16.5, dry_density: 90.0}", "below-family"),
        ("{water_content: 12.0}", "unread"),
    ],
)
def test_refused_without_results_and_with_the_reason(point: str, reason: str) -> None:
    found = alone(point)

    assert found["results"] == {}
    assert found["curve"]["rule"] == "refused"
    assert found["curve"]["reason"] == reason
    assert found["curve"]["why"]


def test_a_specimen_weighed_in_a_mold_of_stated_volume() -> None:
    # 1/30 ft³ and 4.41 lb: 8.676 − 4.41 = 4.266 lb, 127.98 lb/ft³ wet; (142.0 − 130.0)
    # / (130.0 − 30.0) = 12.0 %; dry 127.98 / 1.12 = 114.27 lb/ft³: half way, as above.
    units = "units: {density: lb/ft3, compacted: lb, moisture: g, volume: ft3}\n"
    found = alone(
        "{mold_and_wet_soil: 8.676, container_mass: 30.0, container_and_wet: 142.0, "
        "container_and_dry: 130.0}",
        f"{units}mold_volume: 0.033333\nmold_mass: 4.41\n",
    )

    dry = found["points"][0]["dry_density"] / POUND_PER_CUBIC_FOOT
    assert dry == pytest.approx(114.27, abs=0.01)
    assert found["results"]["maximum_dry_density"]["reported"] == "116.0 lb/ft3"


def test_water_on_wet_mass_is_converted() -> None:
    # 12 % of dry mass is 12/112 = 10.714 % of wet mass.
    wet = alone(
        "{water_content: 10.7143, dry_density: 114.3125}",
        "units: {density: lb/ft3}\nwater_content_by: gas-pressure\nwater_basis: wet\n",
    )

    assert wet["points"][0]["water_content"] == pytest.approx(12.0, abs=1e-4)
    assert wet["results"]["optimum_water_content"]["reported"] == "13.5 %"


def test_the_split_of_the_soil_as_dug_corrects_both_values() -> None:
    # By hand: retained 1.02 / 1.02 = 1.00, passing 10.08 / 1.12 = 9.00: 10 %. Density
    # 100 · 116 · 162.24 / (116 · 10 + 162.24 · 90), 2.60 × 62.4 = 162.24: 119.4;
    # optimum 0.9 × 13.5 + 0.1 × 2.0 = 12.35.
    found = alone(
        "{water_content: 12.0, dry_density: 114.3125}",
        "units: {density: lb/ft3, mass: kg}\n"
        "coarse: {sieve: No. 4, wet_retained: 1.02, wet_passing: 10.08, "
        "water_retained: 2.0, water_passing: 12.0, "
        "specific_gravity: {value: 2.60, basis: oven-dry}}\n",
    )

    results = found["results"]
    corrected = results["corrected_maximum_dry_density"]
    assert corrected["reported"] == "119.4 lb/ft3"
    assert results["corrected_optimum_water_content"]["value"] == pytest.approx(
        12.35, abs=0.02
    )
    assert float(found["oversize"]["percent_retained"]) == pytest.approx(10)


def test_a_sound_one_point_on_a_family_of_reports() -> None:
    outcome = on_site()
    found = told(outcome)

    # By hand: 8.59 − 4.41 = 4.18 lb in 0.033347 ft³ (tests/archives.py): 125.35; water
    # (156.78 − 140.50) / (140.50 − 30.50) = 14.80 %; dry 125.35 / 1.1480 = 109.19.
    point = found["points"][0]
    assert point["water_content"] == pytest.approx(14.80)
    dry = point["dry_density"] / POUND_PER_CUBIC_FOOT
    assert dry == pytest.approx(109.19, abs=0.01)
    assert found["curve"]["members"] == ["ML-107", "ML-101"]
    assert found["curve"]["revisions"] == ["ML-101 r0", "ML-107 r0"]
    assert outcome.flags == ()
    assert found["place"] == "station 4+20, 2.5 m left"


def test_the_chain_of_reports_is_pinned() -> None:
    inputs = on_site().inputs

    assert "records/marsh-lane/families/cutting-1.yaml" in inputs
    for member in ("ML-101", "ML-107", "ML-108"):
        assert f"records/marsh-lane/tests/{member}.issued.yaml#0" in inputs


def test_an_amended_member_moves_the_point() -> None:
    before = sound(("family",))
    name = "records/marsh-lane/tests/ML-101.yaml"
    # A tenth of a pound more at the highest point: the curve of ML-101 rises.
    edited = {
        **before,
        name: before[name].replace(
            b"mold_and_wet_soil: 8.64", b"mold_and_wet_soil: 8.67"
        ),
    }
    amended = issued(edited, "marsh-lane/tests/ML-101", {})

    assert told(on_site(edited))["results"] == told(on_site(before))["results"]
    assert told(on_site(amended))["results"] != told(on_site(before))["results"]


def test_a_field_test_may_rest_on_it() -> None:
    outcome = on_site()

    facts = outcome.kind.answers(
        outcome.case, Ref(ReferenceFacts, (), "ML-P0001", ("reference",))
    )

    assert isinstance(facts, ReferenceFacts)
    assert facts.kind == "one-point"
    assert (facts.designation, facts.method, facts.effort) == (
        "AASHTO T 99",
        "A",
        "standard",
    )
    assert facts.peak is not None
    assert str(facts.peak.reported_density) == "110.7"
    assert (facts.density_unit, facts.sieve) == ("lb/ft3", "No. 4")
    assert facts.why_none == ""


def test_a_refused_point_is_no_reference_and_says_why() -> None:
    wet = changed(
        {
            "marsh-lane/tests/ML-P0001.yaml": [
                ["container_and_wet: 156.78", "container_and_wet: 166.78"]
            ]
        },
        beside=("family",),
    )
    outcome = on_site(wet)

    facts = outcome.kind.answers(outcome.case, Ref(ReferenceFacts, (), "ML-P0001", ()))

    assert isinstance(facts, ReferenceFacts)
    assert facts.peak is None
    assert "wet of the optimum" in facts.why_none


def test_the_report_has_the_point_on_its_family() -> None:
    sheet = on_site().sheet()
    plot = next(one for one in sheet.blocks if isinstance(one, Plot))
    tables = {one.name: one for one in sheet.blocks if isinstance(one, Table)}

    labels = [line.label for line in plot.lines]
    assert labels[:3] == ["ML-101", "ML-107", "ML-108"]
    assert [dot.kind for dot in plot.dots][:2] == ["point", "peak"]
    assert plot.dots[1].label == "110.7 lb/ft³ at 16.5 %"
    used = [row.cells[0].text for row in tables["curves"].rows if row.cells[4].text]
    assert used == ["ML-107", "ML-101"]
    assert tables["place"].rows[1].cells[1].to == ("family", "marsh-lane/cutting-1")


def test_two_revisions_are_compared_on_one_figure() -> None:
    outcome = on_site()
    assert outcome.kind.compare is not None

    results = [("r0", told(outcome)), ("r1", told(outcome))]
    plot = outcome.kind.compare(results, outcome.case.method)

    assert isinstance(plot, Plot)
    # One name for two peaks that are the same.
    named = [(dot.kind, dot.label.partition(":")[0]) for dot in plot.dots if dot.label]
    assert named == [("peak", "r0, r1")]


def test_the_bench_asks_in_the_order_of_the_work() -> None:
    outcome = on_site()
    assert outcome.kind.bench is not None
    bench = outcome.kind.bench(outcome.case)

    asked = [one.name for part in bench.parts for one in part.readings]
    assert asked[:3] == ["station", "offset", "side"]
    order = ("mold_mass", "mold_and_wet_soil", "container_and_wet", "container_and_dry")
    assert [name for name in asked if name in order] == list(order)
    assert "109.2 lb/ft³ at 14.8 %" in bench.progress().lines[0][1]


def test_the_particulars_ask_for_the_curves_and_their_standard() -> None:
    outcome = on_site()
    assert outcome.kind.particulars is not None

    asked = {
        (*part.at, one.name)
        for part in outcome.kind.particulars(outcome.case, "").parts
        for one in part.readings
    }

    wanted = {("family",), ("reference",), ("standard", "effort"), ("coarse", "sieve")}
    assert wanted <= asked
    assert ("coarse", "test") not in asked
