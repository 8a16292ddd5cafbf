"""What moved a result: found by putting each change alone into the earlier state."""

from buildsite.archive.causes import Cause, causes
from buildsite.archive.compared_states import ComparedState, compare_states
from buildsite.kinds.outcome import Outcome
from buildsite.pages.causes_text import cause_lines
from buildsite.pages.differences_text import text
from tests.archives import Files, archive_of, sound

TEST = "records/marsh-lane/tests/ML-101.yaml"
MOLD = "records/equipment/M-04.yaml"


def outcome(files: Files) -> Outcome:
    made = archive_of(files).outcome(TEST)
    assert made is not None
    return made


def changed(*pairs: tuple[str, str, str]) -> tuple[Cause, ...]:
    files = dict(sound())
    before = outcome(files)
    for file, old, new in pairs:
        assert old.encode() in files[file], old
        files[file] = files[file].replace(old.encode(), new.encode())
    return causes(before, outcome(files))


def test_a_mold_that_holds_more_is_told_by_its_volume_alone() -> None:
    # 4052.5 → 4062.0 g of water: 9.5 g more. 942.3 g are 944.3 cm³ (see ML_101_MAXIMUM
    # in tests/archives.py), so 951.8 g are 944.3 · 951.8/942.3 = 953.8 cm³: +1.0 %.
    found = changed((MOLD, "full_with_plates: 4052.5", "full_with_plates: 4062.0"))

    movers = [one for one in found if one.moves]
    assert [one.subject for one in movers] == ["mold M-04, volume"]
    assert list(cause_lines(found)) == ["Mold M-04, volume: 944.3 → 953.8 cm³ (+1.0 %)"]
    assert "mold M-04, volume by water" in {one.subject for one in found}


def test_exchanged_digits_of_a_reading_are_told_with_the_point() -> None:
    (one,) = changed((TEST, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.46"))

    # 100 · (8.46 − 8.64)/8.64 = −2.08 %.
    assert list(cause_lines([one])) == [
        "Point 3, mold and wet soil: 8.64 → 8.46 lb (−2.1 %), two digits exchanged"
    ]


def test_what_moves_the_result_goes_before_what_does_not() -> None:
    found = changed(
        (TEST, "layers: ", "remarks: weighed again\nlayers: "),
        (TEST, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60"),
    )

    assert [bool(one.moves) for one in found] == [True, False]
    assert found[0].subject == "point 3, mold and wet soil"
    assert found[1].subject == "remarks"
    assert list(cause_lines(found)) == [
        "Point 3, mold and wet soil: 8.64 → 8.60 lb (−0.5 %)"
    ]


def test_without_a_mover_every_changed_value_is_told() -> None:
    found = changed((TEST, "layers: ", "remarks: weighed again\nlayers: "))

    assert list(cause_lines(found)) == ["Remarks: not stated → weighed again"]


def test_a_difference_names_the_cause_before_everything_else() -> None:
    files = dict(sound())
    old = ComparedState("r0", outcome=outcome(files))
    more = (b"full_with_plates: 4052.5", b"full_with_plates: 4062.0")
    files[MOLD] = files[MOLD].replace(*more)
    new = ComparedState("now", outcome=outcome(files))

    lines = list(text([compare_states(TEST, old, new)]))

    # See the mold above: of its volume and its volume by water, the first counts.
    cause = lines.index("  Cause")
    assert lines[cause + 1] == "    Mold M-04, volume: 944.3 → 953.8 cm³ (+1.0 %)"
    assert lines[cause + 2] == "  Mold M-04"


def test_nothing_changed_is_no_cause() -> None:
    assert changed() == ()
