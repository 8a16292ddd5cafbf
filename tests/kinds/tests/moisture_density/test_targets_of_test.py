"""The targets on the report of a compaction test."""

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Note
from tests.exports.test_result_json import PARABOLA
from tests.kinds.making import PROJECT, in_archive

PROJECT_FILE = "records/p/project.yaml"
D698 = "standard: {designation: ASTM D698, method: A}"
T180 = "standard: {designation: AASHTO T 180, method: D}"


def made(requirements: str, rest: str = PARABOLA, more: str = "") -> Outcome:
    text = f"{PROJECT}requirements: [{requirements}]\n{more}"
    return in_archive(rest, {PROJECT_FILE: text})


def lines(outcome: Outcome) -> tuple[str, ...]:
    blocks = outcome.sheet().blocks
    notes = (one for one in blocks if isinstance(one, Note) and one.name == "targets")
    return next((one.paragraphs for one in notes), ())


def test_each_zone_that_the_test_serves_has_its_target() -> None:
    # 0.95 × 112.4 = 106.78; 94.5 % of 112.4 is 106.218, which rounds to 94 (even), and
    # 106.3/112.4 = 94.57 %; by hand. D698 speaks of unit weights.
    asked = (
        f"{{zone: fill, clause: '203.3', {D698}, least_percent_compaction: 95, "
        "water_content: {from: -2, to: 2, as: points}, compare: rounded}, "
        f"{{zone: base, {T180}, least_percent_compaction: 98}}"
    )

    assert lines(made(asked)) == (
        "fill, clause 203.3: dry unit weight at least 106.8 lbf/ft³ nominal, judged on "
        "percent compaction, rounded to 95: 106.3 lbf/ft³ (94.57 %) passes; water "
        "content 10.0 to 14.0 %.",
        "This test can't serve base: AASHTO T 180, Method D.",
    )


def test_what_it_can_not_serve_moves_no_report() -> None:
    asked = f"{{zone: fill, {D698}, least_percent_compaction: 95, compare: rounded}}"
    more = f"{asked}, {{zone: base, {T180}, least_percent_compaction: 98}}"
    one, both = made(asked), made(more)

    assert lines(both) == (*lines(one), lines(both)[-1])
    assert one.used == both.used


def test_a_designation_is_known_however_it_is_spelled() -> None:
    other = "standard: {designation: D 698, method: a}"

    assert (
        len(lines(made(f"{{zone: fill, {other}, least_percent_compaction: 95}}"))) == 1
    )


def test_a_test_of_another_method_says_so() -> None:
    asked = f"{{zone: base, {T180}, least_percent_compaction: 98}}"

    assert lines(made(asked)) == (
        "None. This test can't serve base: AASHTO T 180, Method D.",
    )


def test_a_project_that_requires_nothing_prints_no_target() -> None:
    assert lines(in_archive(PARABOLA)) == ()


def test_a_test_without_a_peak_has_no_target() -> None:
    asked = f"{{zone: fill, {D698}, least_percent_compaction: 95}}"

    assert lines(made(asked, PARABOLA.replace("1760}", "1850}"))) == ()


OVERSIZE = "oversize: {percent_retained: 10, bulk_specific_gravity: 2.6}\n"


def density(outcome: Outcome) -> str:
    return lines(outcome)[0].partition(" nominal")[0].removeprefix("fill: ")


def test_the_target_is_that_of_the_result_that_field_tests_are_judged_by() -> None:
    # 0.95 × 115.9 = 110.1 and 0.95 × 112.4 = 106.8 lbf/ft³, by hand.
    asked = f"{{zone: fill, {D698}, least_percent_compaction: 95}}"
    fine = asked.replace("}}", "}").removesuffix("}") + ", oversize: none}"

    corrected = made(asked, PARABOLA + OVERSIZE)
    uncorrected = made(fine, PARABOLA + OVERSIZE)
    by_project = made(asked, PARABOLA + OVERSIZE, "field_tests_against: uncorrected\n")

    assert density(corrected) == "dry unit weight at least 110.1 lbf/ft³"
    assert corrected.governing == (
        "corrected_maximum_dry_density",
        "corrected_optimum_water_content",
    )
    assert "; from the corrected result." in lines(corrected)[0]
    for one in (uncorrected, by_project):
        assert density(one) == "dry unit weight at least 106.8 lbf/ft³"
        assert "; from the uncorrected result." in lines(one)[0]
        assert one.governing == (
            "maximum_dry_density",
            "optimum_water_content",
        )
        note = one.sheet().table("results")
        assert note is not None
        assert "compared with the uncorrected result" in note.note


def test_a_comparison_that_is_not_stated_is_said_to_be_ours() -> None:
    silent = f"{{zone: fill, {D698}, least_percent_compaction: 95}}"
    water = "water_content: {from: -2, to: 2, as: points}"
    said = f"{{zone: fill, {D698}, {water}, compare: rounded}}"

    assert "Comparison not stated: rounded" in lines(made(silent))[0]
    assert lines(made(said))[0].endswith("water content 10.0 to 14.0 %.")


def test_a_result_tells_its_targets() -> None:
    asked = f"{{zone: fill, {D698}, least_percent_compaction: 95, compare: rounded}}"

    (target,) = made(asked).detail()["targets"]

    assert target["zone"] == "fill"
    assert target["target"].startswith("dry unit weight at least 106.8 lbf/ft³")
