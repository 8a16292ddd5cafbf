"""A digest typed from paper, compared with the one in the archive."""

from collections.abc import Mapping, Sequence
from itertools import takewhile
from typing import Any

from buildsite.record.issued import content_digest

DIGITS, GROUP = 64, 8
HEAD = "sha256:"


def digits_of(typed: str) -> str:
    """
    Return what was typed in lower case, without prefix and spaces.

    >>> digits_of("SHA256: 1DB6 96C9")
    '1db696c9'
    """
    return "".join(typed.split()).lower().removeprefix(HEAD)


def digest_difference(
    typed: str, held: str, stands: Mapping[str, Sequence[Mapping[str, Any]]]
) -> str:
    """
    Return how a typed digest differs from the item's own; blank if it doesn't.

    `stands` are the items of every test: the digest may be another item's.
    """
    ours, theirs = held.removeprefix(HEAD), digits_of(typed)
    if ours == theirs:
        return ""
    pairs = zip(ours, theirs, strict=False)
    agree = len([*takewhile(lambda pair: pair[0] == pair[1], pairs)])
    if agree == DIGITS:
        return f"all {DIGITS} digits agree, and {len(theirs) - DIGITS} more were typed"
    if agree == len(theirs):
        return (
            f"the {agree} digits typed agree, and {DIGITS - agree} are missing: a "
            "part of a digest proves nothing, type the rest"
        )
    other = owner(theirs, stands)
    if other:
        return f"this is the digest of {other}"
    return first_other_digit(ours, theirs, agree)


def first_other_digit(ours: str, theirs: str, agree: int) -> str:
    """
    Return the first digit that differs.

    >>> first_other_digit("1db696c9" + "0" * 56, "1db696c7" + "0" * 56, 7)
    'digit 8 differs: 1db696c7 was typed, the archive has 1db696c9; no other does'
    """
    start = agree - agree % GROUP
    pair = (text[start : start + GROUP] for text in (theirs, ours))
    where = "{} was typed, the archive has {}".format(*pair)
    if len(theirs) != DIGITS:
        more = f"{len(theirs)} digits were typed, not {DIGITS}"
    else:
        count = sum(a != b for a, b in zip(ours, theirs, strict=True)) - 1
        more = {0: "no other does", 1: "1 other does"}.get(count, f"{count} others do")
    return f"digit {agree + 1} differs: {where}; {more}"


def owner(digits: str, stands: Mapping[str, Sequence[Mapping[str, Any]]]) -> str:
    """Return the revision that has a digest; blank if none has."""
    for test, trees in sorted(stands.items()):
        for revision, tree in enumerate(trees):
            if content_digest(tree) == HEAD + digits:
                return f"{test} r{revision}"
    return ""
