"""The digests of every report as scripts: small parts, each findable by itself."""

import json
from hashlib import sha256
from typing import Any

from buildsite.exports.digests_script import Known, hexdigest, scripts, typed

LARGEST = 500_000
"""Bytes that a visitor's browser loads at most."""


def reports(count: int) -> list[Known]:
    return [
        Known(
            number=f"HF-{n:05} r0",
            test=f"HF-{n:05}",
            last=True,
            content=sha256(f"content {n}".encode()).hexdigest(),
            files=(
                ("HTML", sha256(f"html {n}".encode()).hexdigest()),
                ("PDF", sha256(f"pdf {n}".encode()).hexdigest()),
            ),
            shown={"state": "x" * 400},
        )
        for n in range(count)
    ]


def parts(known: list[Known]) -> dict[str, Any]:
    found = {}
    for name, data in scripts(known):
        text = data.decode()
        assert len(data) < LARGEST, name
        assert text.startswith("reportsInHand(")
        assert text.endswith(");\n")
        found[name] = json.loads(text[len("reportsInHand(") : -len(");\n")])
    return found


def test_a_few_reports_are_one_script() -> None:
    found = parts(reports(3))

    assert list(found) == ["data.js"]
    (content,) = [key for key, text in found["data.js"]["keys"].items() if text == HELD]
    assert content == sha256(b"content 1").hexdigest()


HELD = "code HF-00001 r0"


def test_ten_thousand_reports_are_split_and_each_is_found() -> None:
    known = reports(10_000)
    found = parts(known)

    digits = found["data.js"]["digits"]
    assert digits > 0
    for report in known[::997]:
        about = found[f"data-{hexdigest(report.number)[:digits]}.js"]["reports"]
        assert report.number in about
        for key in (report.content, *(digest for _, digest in report.files)):
            keys = found[f"data-{key[:digits]}.js"]["keys"]
            assert keys[key].partition(" ")[2] == report.number
        for name in (report.number, report.test.lower()):
            key = hexdigest(typed(name))
            keys = found[f"data-{key[:digits]}.js"]["keys"]
            assert keys[key] == f"name {report.number}"
    assert sum(len(part.get("reports", ())) for part in found.values()) == 10_000
