"""Merge of two edits of one record: nothing is blended, a person chooses."""

from collections.abc import Sequence


def merged(base: bytes, ours: bytes, theirs: bytes) -> bytes | None:
    """
    Return the side that changed; None if both did, differently.

    >>> merged(b"a", b"a", b"b"), merged(b"a", b"b", b"c")
    (b'b', None)
    """
    if ours == theirs or theirs == base:
        return ours
    return theirs if ours == base else None


def marked(base: bytes, ours: bytes, theirs: bytes, size: int = 7) -> bytes:
    r"""
    Return both sides and their base between conflict markers of `size` characters.

    The markers enclose everything from the first line that differs to the last, for the
    masses of one test belong together.

    >>> marked(b"a\nb\nc\n", b"a\nB\nc\n", b"a\nb\nC\n", 1).split(b"\n")[:5]
    [b'a', b'< this branch', b'B', b'c', b'| before']
    """
    sides = [lines(ours), lines(base), lines(theirs)]
    head = alike(sides)
    tail = alike([side[head:][::-1] for side in sides])
    inner = [side[head : len(side) - tail] for side in sides]
    ends = sides[0][len(sides[0]) - tail :]
    return b"".join(
        [
            *sides[0][:head],
            mark(b"<", size, b"this branch"),
            *inner[0],
            mark(b"|", size, b"before"),
            *inner[1],
            mark(b"=", size),
            *inner[2],
            mark(b">", size, b"the other branch"),
            *ends,
        ]
    )


def lines(data: bytes) -> list[bytes]:
    """Return the lines of a file, each with its line end."""
    return [line + b"\n" for line in data.removesuffix(b"\n").split(b"\n")]


def alike(sides: Sequence[Sequence[bytes]]) -> int:
    """Return how many first lines are the same on all sides."""
    number = 0
    for row in zip(*sides, strict=False):
        if len(set(row)) > 1:
            break
        number += 1
    return number


def mark(sign: bytes, size: int, words: bytes = b"") -> bytes:
    """Return one conflict marker."""
    return sign * size + (b" " + words if words else b"") + b"\n"
