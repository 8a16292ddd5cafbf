"""Repeat tests of one sample: how far apart they are, against the repeatability."""

import pytest

from buildsite.archive.across import (
    MOST,
    flags_across,
    repeated,
    traces_of,
    words_by_file,
)
from buildsite.kinds.traces import Repeated
from buildsite.standards.cells import UNCHECKED
from tests.archives import changed, sound
from tests.kinds.making import BASE, SAMPLE, TEST, archive
from tests.pages.builds import made

T99 = "standard: {designation: AASHTO T 99, method: A}\n"
D698 = "standard: {designation: ASTM D698, method: A}\n"


def peaked(id: str, density: str, optimum: str, more: str = T99) -> str:
    """A test whose peak was drawn, so that its results are what is written here."""
    by = "" if "compacted:" in more else "compacted: {on: 2026-03-10, by: T07}\n"
    return (
        TEST.replace("T-1", id)
        + more
        + by
        + "units: {density: lb/ft3}\npoints: []\n"
        + f"curve: {{drawn: {{maximum_dry_density: {density}, "
        f"optimum_water_content: {optimum}}}}}\n"
    )


def pairs(*tests: str, sample: str = SAMPLE) -> tuple[Repeated, ...]:
    files = {**BASE, "records/p/samples/S-1.yaml": sample}
    for i, text in enumerate(tests, 1):
        files[f"records/p/tests/T-{i}.yaml"] = text
    found = archive(files)
    return repeated(found, traces_of(found, found.files("test")))


def only(*tests: str, sample: str = SAMPLE) -> Repeated:
    [pair] = pairs(*tests, sample=sample)
    return pair


# AASHTO T 99, older clause on precision (from memory): two results of one operator are
# suspect if apart by more than 2.2 lb/ft³ (35 kg/m³) or 10 % of the mean optimum.
@pytest.mark.parametrize(
    ("density", "optimum", "suspect"),
    [
        ("112.1", "15.0", []),  # 2.1 lb/ft³ = 33.6 kg/m³
        ("112.3", "15.0", ["maximum dry density differs by 2.3 lb/ft³"]),  # 36.8 kg/m³
        ("110.0", "16.5", []),  # 1.5 points; a tenth of 15.75 is 1.575
        # 10 % of the mean is 1.58: as 1.6 the two would read alike.
        ("110.0", "16.6", ["optimum moisture content differs by 1.60 points"]),
    ],
)
def test_two_results_of_one_operator(
    density: str, optimum: str, suspect: list[str]
) -> None:
    pair = only(peaked("T-1", "110.0", "15.0"), peaked("T-2", density, optimum))

    found = pair.doubt.found if pair.doubt is not None else ""
    assert [text for text in suspect if text not in found] == []
    assert bool(found) == bool(suspect)


@pytest.mark.parametrize(
    ("density", "optimum", "told"),
    [
        # 35 kg/m³ is 2.185 lb/ft³ (÷ 16.01846); 2.20 is 35.24 kg/m³, and both are 2.2.
        ("112.20", "15.0", "differs by 2.20 lb/ft³, more than the 2.18 lb/ft³ of"),
        # 10 % of (15.0 + 16.58) / 2 is 1.579.
        ("110.0", "16.58", "differs by 1.580 points, more than the 1.579 points of"),
        # So small a difference is not told with more decimals than needed.
        ("112.3", "15.0", "differs by 2.3 lb/ft³, more than the 2.2 lb/ft³ of"),
    ],
)
def test_a_difference_above_its_limit_reads_as_one(
    density: str, optimum: str, told: str
) -> None:
    pair = only(peaked("T-1", "110.0", "15.0"), peaked("T-2", density, optimum))

    assert pair.doubt is not None
    assert told in pair.doubt.found


@pytest.mark.parametrize(
    ("soil", "suspect"),
    # ASTM D698, table 3 (from memory): ML 1.3, CL 1.2 lbf/ft³ for two results.
    [("CL", True), ("ML", False)],
)
def test_a_limit_may_go_by_the_soil(soil: str, *, suspect: bool) -> None:
    sample = f"{SAMPLE}soil: {{class: {soil}}}\n"

    pair = only(
        peaked("T-1", "110.00", "15.0", D698),
        peaked("T-2", "111.25", "15.0", D698),
        sample=sample,
    )

    assert (pair.doubt is not None) == suspect


@pytest.mark.parametrize(
    ("soil", "said"),
    # The table of D698 has CH, CL and ML alone (from memory).
    [("ML", ""), ("SC", ", stated for ML and used for SC too")],
)
def test_a_limit_of_other_soils_is_said_to_be_one(soil: str, said: str) -> None:
    sample = f"{SAMPLE}soil: {{class: {soil}}}\n"

    words = only(
        peaked("T-1", "110.0", "15.0", D698),
        peaked("T-2", "110.5", "15.0", D698),
        sample=sample,
    ).words

    assert f"table 3 ({UNCHECKED}){said};" in words


def test_what_is_within_is_said_too() -> None:
    pair = only(peaked("T-1", "110.0", "15.0"), peaked("T-2", "110.4", "15.3"))

    assert pair.words == (
        "T-1 and T-2, repeat tests of S-1, compared before rounding: maximum dry "
        "density differs by 0.4 lb/ft³, within the 2.2 lb/ft³ of AASHTO T 99 (not yet "
        "checked against the standard's text); optimum moisture content differs by 0.3 "
        "points, within the 1.5 points of AASHTO T 99 (not yet checked against the "
        "standard's text)."
    )


def test_a_standard_may_state_no_repeatability() -> None:
    used = "standard: {designation: BS 1377-4, method: '3.3'}\n"

    pair = only(peaked("T-1", "110", "15", used), peaked("T-2", "120", "12", used))

    assert pair.doubt is None
    assert "by 0.16 Mg/m³; the standard states no repeatability" in pair.words


def test_two_people_are_named() -> None:
    other = T99 + "compacted: {on: 2026-03-11, by: E02}\n"

    pair = only(peaked("T-1", "110", "15"), peaked("T-2", "110", "15", other))

    assert pair.words.endswith(
        "Compacted by T07 and E02; the limit is for one operator."
    )


def test_the_later_test_is_doubted_whatever_its_id() -> None:
    early = T99 + "compacted: {on: 2026-03-01, by: T07}\n"

    pair = only(peaked("T-1", "110", "15"), peaked("T-2", "120", "15", early))

    assert pair.later == "records/p/tests/T-1.yaml"


@pytest.mark.parametrize(
    "other",
    [
        peaked("T-2", "120", "12", T99.replace("A}", "C}")),
        peaked("T-2", "120", "12", D698),
        peaked("T-2", "120", "12").replace("complete", "withdrawn"),
        peaked("T-2", "120", "12").replace("complete", "in-progress"),
        peaked("T-2", "120", "12") + "external: {laboratory: another}\n",
    ],
)
def test_what_is_no_repeat(other: str) -> None:
    assert pairs(peaked("T-1", "110", "15"), other) == ()


def test_many_tests_of_one_sample_are_a_series_and_no_repeats() -> None:
    # common practice: the limit is for two results, not for the ends of many
    def several(count: int) -> list[str]:
        return [peaked(f"T-{i}", "110", "15") for i in range(1, count + 1)]

    assert len(pairs(*several(MOST))) == MOST * (MOST - 1) // 2
    assert pairs(*several(MOST + 1)) == ()


def test_a_test_without_a_peak_is_named_and_not_compared() -> None:
    none = TEST.replace("T-1", "T-2") + (
        T99 + "compacted: {on: 2026-03-11, by: T07}\nunits: {}\npoints: []\n"
    )

    pair = only(peaked("T-1", "110", "15"), none)

    assert pair.words == "T-1 and T-2, repeat tests of S-1: no results in common."
    assert pair.doubt is None


def test_an_outcome_of_a_repeat_keeps_its_flag_and_may_be_accepted() -> None:
    accepted = "accepted: [{flag: repeats-apart, by: E02, reason: another bag}]\n"
    files = {
        **BASE,
        "records/p/tests/T-1.yaml": peaked("T-1", "110", "15"),
        "records/p/tests/T-2.yaml": peaked("T-2", "120", "15") + accepted,
    }
    found = archive(files)
    found.across_flags = flags_across(found, traces_of(found, found.files("test")))

    outcome = found.outcome("records/p/tests/T-2.yaml")

    assert outcome is not None
    [flag] = [flag for flag in outcome.flags if flag.flag == "repeats-apart"]
    assert flag.accepted_by == "E02"


AGAIN = "marsh-lane/tests/ML-103.yaml"


def test_the_pages_of_both_tests_and_of_the_sample_say_it() -> None:
    base = sound()["records/marsh-lane/tests/ML-102.yaml"].decode()
    files = changed({AGAIN: base.replace("ML-102", "ML-103").replace("4002", "4001")})

    site = made(files)

    words = "ML-102 and ML-103, repeat tests of ML-S2"
    for path in ("tests/ML-102", "tests/ML-103", "samples/ML-S2"):
        assert site[f"{path}/index.html"].decode().count(words) == 1
    assert words not in site["tests/ML-101/index.html"].decode()
    assert list(words_by_file(())) == []
