"""
Digests of every report that was sent, as scripts for the page of a report in hand.

Not JSON: a page that is opened from the disk may load a script of its own, and may not
fetch a file. Many reports are split by the first digits of what is looked up, so that a
visitor loads a small part:

* `keys`: SHA-256 → "kind number", where kind tells what was digested: HTML, PDF, the
  content of the item (`code`), or the report's number (`name`).
* `reports`: number → what is said of it, in the part of the SHA-256 of the number.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any

from buildsite.values import dataclass

LARGEST = 250_000
"""Bytes that a part has on average at most."""


@dataclass(frozen=True)
class Known:
    """One report: its number, its digests without `sha256:`, and what is said."""

    number: str
    test: str
    last: bool  # the last report of its test
    content: str
    files: tuple[tuple[str, str], ...]  # HTML or PDF, digest
    shown: Mapping[str, Any]


def hexdigest(text: str) -> str:
    """
    Return the SHA-256 of a text.

    >>> hexdigest("abc")[:16]
    'ba7816bf8f01cfea'
    """
    return sha256(text.encode()).hexdigest()


def typed(number: str) -> str:
    """
    Return a number without what people type differently; the script does the same.

    >>> typed("HF-0117 r0"), typed("hf 0117R0")
    ('hf0117r0', 'hf0117r0')
    """
    return "".join(number.lower().split()).replace("-", "")


def keys(report: Known) -> Iterator[tuple[str, str]]:
    """Yield what a report is found by, each with its kind."""
    yield report.content, "code"
    for kind, digest in report.files:
        yield digest, kind
    yield hexdigest(typed(report.number)), "name"
    if report.last:
        yield hexdigest(typed(report.test)), "name"


def script(part: Mapping[str, Any]) -> bytes:
    """Return one part as a script."""
    text = json.dumps(part, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return f"reportsInHand({text});\n".encode()


def scripts(reports: Sequence[Known]) -> Iterator[tuple[str, bytes]]:
    """Yield the scripts; data.js tells by how many digits the others are split."""
    found: dict[str, str] = {}
    for report in reports:
        for key, kind in keys(report):
            found.setdefault(key, f"{kind} {report.number}")
    shown = {report.number: dict(report.shown) for report in reports}
    whole = script({"digits": 0, "keys": found, "reports": shown})
    digits = next(n for n in range(9) if len(whole) <= LARGEST * 16**n)
    if not digits:
        yield "data.js", whole
        return
    yield "data.js", script({"digits": digits})
    parts: dict[str, dict[str, Any]] = {
        f"{number:0{digits}x}": {"keys": {}, "reports": {}}
        for number in range(16**digits)
    }
    for key, text in found.items():
        parts[key[:digits]]["keys"][key] = text
    for number, about in shown.items():
        parts[hexdigest(number)[:digits]]["reports"][number] = about
    for start, part in parts.items():
        yield f"data-{start}.js", script(part)
