"""What becomes of a verdict, from one result of a field density to another."""

import pytest

from buildsite.archive.verdicts import follow_of
from buildsite.kinds.follows import Follow
from tests.kinds.tests.field_density.records import changed, computed

# By hand in `records.py`: 93.785 % of 1.85 g/cm³, and 95 % is asked. Of 1.82 g/cm³ it
# is 1.73503/1.82 = 95.331 %.
LIGHTER = ("maximum_dry_density: 1.85", "maximum_dry_density: 1.82")
HEAVIER_SOIL = ("wet_soil: 3136", "wet_soil: 3186")
"""3186/1613.80/1.12 = 1.76270 g/cm³, and 95.281 % of 1.85."""

WITHDRAWN = "withdrawn: {on: 2026-06-03, by: T07, reason: no longer wanted}\n"


def between(
    *pairs: tuple[str, str], before: tuple[tuple[str, str], ...] = (), more: str = ""
) -> Follow:
    """What became of the verdict of the sand cone, with texts replaced."""
    found = follow_of(computed(changed(*before)), computed(changed(*pairs, more=more)))
    assert found is not None
    return found


@pytest.mark.parametrize("pair", [LIGHTER, HEAVIER_SOIL])
def test_a_failure_that_passes_after_a_change(pair: tuple[str, str]) -> None:
    one = between(pair)

    assert (one.old_verdict, one.new_verdict) == ("fail", "pass")
    assert one.flipped
    assert one.vanished
    assert one.uncounted == ""
    assert one.percents == "93.8 % → 95.3 %"
    assert (one.id, one.place, one.day) == (
        "HF-F0231",
        "zone embankment, lift 7",
        "2026-06-02",
    )


def test_a_requirement_that_asks_less_turns_a_failure() -> None:
    one = between(('least_percent_compaction: "95"', 'least_percent_compaction: "93"'))

    assert one.vanished
    assert one.old_percent == one.new_percent


@pytest.mark.parametrize(
    ("pair", "more", "words"),
    [
        (
            ('lift: "7"', 'lift: "7"\npurpose: information'),
            "",
            "purpose: acceptance → information",
        ),
        (('lift: "7"', 'lift: "8"'), "", "lift: 7 → 8"),
        (("zone: embankment", "zone: subgrade"), "", "zone: embankment → subgrade"),
        (("zone: embankment\n", ""), "", "zone: embankment → none"),
        (
            ('lift: "7"', 'lift: "7"\nposition: {station: "12+40"}'),
            "",
            "place: none → station 12+40",
        ),
        (("status: complete", "status: withdrawn"), WITHDRAWN, "withdrawn"),
    ],
)
def test_a_failure_that_counts_no_more(
    pair: tuple[str, str], more: str, words: str
) -> None:
    one = between(pair, more=more)

    assert one.uncounted == words
    assert one.vanished
    assert not one.flipped


def test_a_failure_put_back_in_progress_is_one_still() -> None:
    back = ("status: complete", "status: in-progress")

    assert between(back).verdicts == "fail"
    assert between(back, LIGHTER, before=(back,)).vanished


def test_a_passing_test_may_go_to_another_lift() -> None:
    one = between(LIGHTER, ('lift: "7"', 'lift: "8"'), before=(LIGHTER,))

    assert not one.vanished


def test_a_failure_that_never_counted_takes_nothing_away() -> None:
    other = ('lift: "7"', 'lift: "7"\npurpose: information')

    one = between(("zone: embankment", "zone: subgrade"), other, before=(other,))

    assert not one.vanished


def test_a_test_without_a_percentage_has_no_verdict() -> None:
    gone = ("wet_soil: 3136\n", "")

    one = between(gone)

    assert (one.verdicts, one.percents.partition(" → ")[2]) == ("fail → none", "none")
