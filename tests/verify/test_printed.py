"""A printed report suffices to start from."""

from pathlib import Path

import pytest

from tests.verify.tampering import CHAIN, Fault, caught, head, items, sound, verify


def test_the_archive_holds_what_the_paper_says(untouched: Path) -> None:
    for revision, item in enumerate(items(untouched)):
        printed = item["content"]
        page = untouched / CHAIN.replace(".issued.yaml", f".r{revision}.html")
        digits = printed.removeprefix("sha256:")
        assert digits in "".join(page.read_text("utf-8").split())
        for sum in (printed, digits, digits.upper(), f"{digits[:32]} {digits[32:]}"):
            assert sound(untouched, "--report", "ML-101", f"r{revision}", sum)


@pytest.mark.parametrize(
    ("test", "revision", "words"),
    [
        ("ML-101", 0, "this is the digest of ML-101 r1"),
        ("ML-101", 2, "no such revision: the last one is r1"),
        ("ML-103", 0, "no test with this id was issued"),
    ],
)
def test_what_it_does_not_hold_is_told(
    untouched: Path, test: str, revision: int, words: str
) -> None:
    other = items(untouched)[1]["content"]
    there = test == "ML-101"
    came = head(untouched, "HEAD~2" if revision == 0 and there else "HEAD")
    fault = Fault(test, revision, CHAIN if there else f"{test}.issued.yaml", came)

    caught(untouched, fault, words, "--report", test, f"r{revision}", other)


def mistyped(sum: str, *places: int) -> str:
    """A digest with other digits at these places, from 1."""
    digits = list(sum.removeprefix("sha256:"))
    for place in places:
        digits[place - 1] = "0" if digits[place - 1] != "0" else "1"
    return "".join(digits)


@pytest.mark.parametrize(
    ("places", "first", "others"),
    [([8], 8, "no other does"), ([64], 64, "no other does"), ([9, 30], 9, "1 other")],
)
def test_the_first_digit_that_differs_is_pointed_to(
    untouched: Path, places: list[int], first: int, others: str
) -> None:
    held = items(untouched)[0]["content"]
    typed, right = mistyped(held, *places), held.removeprefix("sha256:")
    group = slice((first - 1) // 8 * 8, (first - 1) // 8 * 8 + 8)

    ran = verify(untouched, "--report", "ML-101", "r0", typed)

    assert ran.status == 1
    assert f"digit {first} differs: {typed[group]} was typed" in ran.out
    assert f"the archive has {right[group]}; {others}" in ran.out
    assert right not in ran.out
    assert typed not in ran.out


def test_an_abbreviated_digest_is_not_enough(untouched: Path) -> None:
    sum = items(untouched)[0]["content"].removeprefix("sha256:")

    short = verify(untouched, "--report", "ML-101", "r0", sum[:16])
    long = verify(untouched, "--report", "ML-101", "r0", sum + "00")

    assert (short.status, long.status) == (1, 1)
    assert "the 16 digits typed agree, and 48 are missing" in short.out
    assert "all 64 digits agree, and 2 more were typed" in long.out
    assert sound(untouched, "--report", "ML-101", "r0", sum)


@pytest.mark.parametrize("revision", ["one", "r", "r-1", ""])
def test_a_revision_is_a_number(untouched: Path, revision: str) -> None:
    ran = verify(untouched, "--report", "ML-101", revision, "sha256:0")

    assert ran.status == 2
    assert "such as r1" in ran.err
