"""Comments of a YAML file, which no reader of its fields sees."""

import re
from collections.abc import Iterator
from typing import Any

from yaml.tokens import ScalarToken

from buildsite.record.source import PythonParser

LIKELY = re.compile(rb"""(?:^|[\s"'\[\]{},:-])#""", re.MULTILINE)
"""A comment begins a line or follows a blank, a quote or a bracket."""


def comments_in(data: bytes) -> list[tuple[int, str]]:
    r"""
    Return line and text of each comment in a file that can be read.

    >>> comments_in(b'a: "b # c"  # d\n# e\nf: g#h\n')
    [(1, '# d'), (2, '# e')]
    """
    if not LIKELY.search(data):
        return []
    text = data.decode(errors="replace")
    return [
        (text.count("\n", 0, found.start()) + 1, found[0].rstrip())
        for start, end in gaps(text)
        for found in re.compile(r"#.*").finditer(text, start, end)
    ]


def gaps(text: str) -> Iterator[tuple[int, int]]:
    """Yield start and end of what stands between the tokens of a text."""
    scanner: Any = PythonParser(text)  # PyYAML's stubs type only a part of it
    last = 0
    while scanner.check_token():
        token = scanner.get_token()
        yield last, token.start_mark.index
        last = token.end_mark.index
        if isinstance(token, ScalarToken) and token.style in ("|", ">"):
            # The line that opens a text of several lines may end in a comment.
            yield token.start_mark.index, text.index("\n", token.start_mark.index)
    yield last, len(text)
