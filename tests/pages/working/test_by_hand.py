"""Every printed working of the demo, worked again by hand from what the page prints."""

import json
from pathlib import Path

import pytest

from tests import by_hand

PAGES = "tests/*/working/index.html"


def readers(site: Path) -> dict[str, by_hand.Reader]:
    found = {
        path.parent.parent.name: by_hand.Reader(path.read_text("utf-8"))
        for path in sorted(site.glob(PAGES))
    }
    assert found
    return {test: one for test, one in found.items() if one.lines}


def test_every_step_gives_what_it_says(site: Path) -> None:
    faults = [
        f"{test}: {fault}"
        for test, reader in readers(site).items()
        for fault in by_hand.faults(reader)
    ]

    assert faults == []


def test_every_reported_result_has_its_step(site: Path) -> None:
    for test, reader in readers(site).items():
        told = {line.anchor: line.told for line in reader.lines if line.told}
        result = json.loads((site / "tests" / test / "result.json").read_text("utf-8"))
        for name, one in result["results"].items():
            number = one["reported"].partition(" ")[0]
            assert name in told, (test, name)
            assert number in told[name].replace("−", "-"), (test, name)


def test_readings_lead_to_the_line_of_the_record(site: Path) -> None:
    for test, reader in readers(site).items():
        lines = [h for line in reader.lines for _, h in line.links if h[:2] == "#L"]
        assert lines, test
        record = (site / "tests" / test / "record.yaml").read_text("utf-8")
        assert "\n".join(reader.record.values()) == record.rstrip("\n"), test


def test_a_report_that_is_computed_otherwise_now_shows_no_working(site: Path) -> None:
    # The demo's HF-0104 r1 was issued by the default curve of before, and assessed.
    text = (site / "tests/HF-0104/working/index.html").read_text("utf-8")

    assert "This program computes another result" in text
    assert 'class="worked"' not in text
    assert ">Kept report<" in text
    assert 'href="../../../tests/HF-0104/r1/index.html"' in text
    assert ">Assessed on " in text


WRONG = (
    '<section class="step" id="s"><ul class="worked"><li id="x">'
    '<span class="sum">{}</span> <strong class="told">reported {}</strong></li></ul>'
)


@pytest.mark.parametrize(
    ("line", "told", "fault"),
    [
        ("(2\u00a0g − 1\u00a0g) / 4\u00a0cm³ = 250\u00a0kg/m³", "250 kg/m³", ""),
        (
            "(2\u00a0g − 1\u00a0g) / 4\u00a0cm³ = 251\u00a0kg/m³",
            "251 kg/m³",
            "is not 251",
        ),
        (
            "1\u00a0g / 2\u00a0cm³ = 500\u00a0kg/m³ = 31.3\u00a0lb/ft³",
            "31.2 lb/ft³",
            "not",
        ),
        ("100 × 2 = 200\u00a0%", "201 %", "not reported"),
        ("−(−2)<sup>2</sup> = −4\u00a0%", "−4 %", ""),
    ],
)
def test_a_wrong_line_is_seen(line: str, told: str, fault: str) -> None:
    found = [*by_hand.faults(by_hand.Reader(WRONG.format(line, told)))]

    assert bool(found) == bool(fault), found
    assert fault in " ".join(found)
