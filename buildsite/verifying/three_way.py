"""A file that two branches changed, with the changed lines of both."""

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher

Lines = Sequence[bytes]


def merged_text(base: bytes, ours: bytes, theirs: bytes) -> bytes | None:
    r"""
    Return a text with the changes of two others; None if both changed the same lines.

    >>> merged_text(b"a\nb\nc\nd\n", b"A\nb\nc\nd\n", b"a\nb\nc\nD\n")
    b'A\nb\nc\nD\n'
    >>> merged_text(b"a\nb\n", b"A\nb\n", b"X\nb\n") is None
    True
    """
    old, mine, others = (text.splitlines(True) for text in (base, ours, theirs))
    changes = sorted((*changes_of(old, mine), *changes_of(old, others)))
    done: list[bytes] = []
    at, before = 0, None
    for start, end, lines in changes:
        if (start, end, lines) == before:
            continue  # the same change on both sides
        if start < at or (before is not None and start == before[1]):
            return None
        done += [*old[at:start], *lines]
        at, before = end, (start, end, lines)
    return b"".join([*done, *old[at:]])


def changes_of(old: Lines, new: Lines) -> Iterator[tuple[int, int, list[bytes]]]:
    """Yield the changes of a text: from line, to line, and what stands there now."""
    matcher = SequenceMatcher(None, old, new, autojunk=False)
    for tag, start, end, first, last in matcher.get_opcodes():
        if tag != "equal":
            yield start, end, list(new[first:last])
