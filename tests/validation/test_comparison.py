"""Every published example agrees, and what would not agree is seen."""

import copy
import re
from decimal import Decimal
from pathlib import PurePosixPath
from typing import Any

import pytest

from buildsite.kinds import all_kinds
from buildsite.validation.comparison import (
    RECOMPUTE,
    Verdict,
    compare_example,
    compare_examples,
)
from buildsite.validation.examples import (
    FOLDER,
    HALF_A_DIGIT,
    REASONS,
    SOURCE_CLASSES,
    Example,
    examples,
    leaves,
)

EXAMPLES = {one.id: one for one in examples()}
EACH = pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES.keys())


def changed(id: str, *way: Any, to: Any) -> Example:
    """An example with one value exchanged."""
    tree: Any = copy.deepcopy(EXAMPLES[id].tree)
    node = tree
    for part in way[:-1]:
        node = node[part]
    node[way[-1]] = to
    return Example(tree)


def test_every_file_is_recomputed() -> None:
    names = [PurePosixPath(path.name).stem[:3] for path in FOLDER.glob("*.yaml")]

    assert sorted(names) == sorted(EXAMPLES) == sorted(RECOMPUTE)


@EACH
def test_figures_and_flags_are_as_published(example: Example) -> None:
    found = compare_example(example)

    assert [row for row in found.rows if not row.verdict.good] == []
    assert [row for row in found.flags if not row.verdict.good] == []
    assert found.good


@EACH
def test_no_word_of_an_example_is_passed_over(example: Example) -> None:
    known = {
        "id",
        "title",
        "source",
        "source_class",
        "units",
        "given",
        "published",
        "tolerance",
    }
    known |= {"because", "does_not_follow", "slips", "not_computed", "notes"}
    known |= {"raises", "silent", "record", "rows", "beyond_zero_air_voids"}

    assert set(example.tree) - known == set()


SHARED = re.compile(
    r"scribd|coursehero|studylib|slideshare|askfilo|qammunity|chegg|brainly|sharing"
)
"""Sites where people share documents and answers: no source to cite."""


@EACH
def test_an_example_says_how_sure_its_source_is(example: Example) -> None:
    sure = example.source_class in ("standard or agency", "textbook or paper")

    assert example.source_class in SOURCE_CLASSES
    assert not SHARED.search(example.source.lower())
    assert ("unattributed teaching exercise" in example.source) == (
        example.source_class in ("course", "open page")
    )
    assert ("from memory" in example.source) == (example.source_class == "memory")
    assert not (sure and "//" in example.source)


@EACH
def test_no_printed_figure_is_left_out_without_a_word(example: Example) -> None:
    left_out = example.tree.get("not_computed", {})
    printed = [way for way, _ in leaves(example.tree["published"], ())]

    recomputed = [way for way, _ in example.figures()]

    assert [w for w in printed if w not in recomputed and w[0] not in left_out] == []
    assert all(why.strip() for why in left_out.values())


@EACH
def test_a_tolerance_is_half_a_digit_or_says_why_not(example: Example) -> None:
    for way, _ in example.figures():
        half = Decimal(5).scaleb(-example.places(way) - 1)
        reason = example.because(way)
        if reason == HALF_A_DIGIT:
            assert Decimal(example.tolerance_text(way)) == half, way
        else:
            assert reason in REASONS, way


@EACH
def test_a_slip_says_what_went_wrong(example: Example) -> None:
    for row in compare_example(example).rows:
        assert (row.verdict is Verdict.SLIP) == bool(row.slip), row.quantity


def test_reasons_are_all_used() -> None:
    used = {row.because for one in compare_examples() for row in one.rows}

    assert used == {HALF_A_DIGIT, *REASONS}


@EACH
def test_flags_that_are_expected_exist(example: Example) -> None:
    known = {rule.flag for kind in all_kinds() for rule in kind.rules}
    wanted = (*example.expected("raises"), *example.expected("silent"))

    assert [one.flag for one in wanted if one.flag not in known] == []


@pytest.mark.parametrize("id", ["b03", "b04", "b05", "b06", "b11", "b14", "b18"])
def test_an_inconsistent_example_raises_a_flag(id: str) -> None:
    assert EXAMPLES[id].expected("raises")


def test_a_figure_that_differs_is_seen() -> None:
    # 1653 g as printed and as weighed: 2783 less 1130.
    found = compare_example(changed("b02", "published", "wet_soil", 0, to="1654"))

    (row,) = [row for row in found.rows if not row.verdict.good]
    assert (row.quantity, row.verdict) == ("wet soil 1", Verdict.DIFFERS)
    assert not found.good


def test_a_reading_that_changes_is_seen() -> None:
    found = compare_example(changed("b02", "given", "mold_and_wet_soil", 2, to="3254"))

    wrong = [row.quantity for row in found.rows if not row.verdict.good]
    assert wrong == ["wet soil 3", "dry soil 3", "dry density 3"]


def test_a_slip_that_is_none_is_seen() -> None:
    found = compare_example(changed("b11", "published", "wet_soil", 4, to="1542.09"))

    assert [row.verdict for row in found.rows].count(Verdict.NO_SLIP) == 1
    assert not found.good


def test_a_slip_whose_mended_figure_is_wrong_differs() -> None:
    found = compare_example(
        changed("b11", "does_not_follow", "wet_soil", "4", to="1542.19")
    )

    assert [row.verdict for row in found.rows].count(Verdict.DIFFERS) == 1


@pytest.mark.parametrize(
    "expected",
    [
        {"flag": "two-peaks"},
        {"flag": "right-of-zero-air-voids", "points": ["4", "5"]},
        {"flag": "right-of-zero-air-voids", "points": ["3", "4", "5", "6"]},
    ],
)
def test_a_flag_that_is_not_raised_there_is_seen(expected: dict[str, Any]) -> None:
    found = compare_example(changed("b06", "raises", to=[expected]))

    assert [row.verdict for row in found.flags] == [Verdict.NOT_RAISED]
    assert not found.good


def test_a_false_alarm_is_seen() -> None:
    found = compare_example(
        changed("b06", "silent", to=[{"flag": "right-of-zero-air-voids"}])
    )

    assert [row.verdict for row in found.flags][-1] is Verdict.FALSE_ALARM
    assert not found.good


def test_a_note_is_no_flag_that_a_reader_sees() -> None:
    # Nobody reviewed these examples, which is a note of the laboratory's own.
    found = compare_example(changed("b06", "raises", to=[{"flag": "not-reviewed"}]))

    assert [row.verdict for row in found.flags] == [Verdict.NOT_RAISED]
