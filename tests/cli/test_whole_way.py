"""
A technician's way, from an empty folder to an issued report with oversize and specific
gravity of its own: at a terminal, without opening a YAML file.
"""

import json
import os
import re
import select
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.clones import git
from tests.entering.terminal import PATIENCE, Person

PROMPT = re.compile(r"(: |\] |\) )$")
QUIET = 0.02
"""Seconds without output after which a line that ends as a prompt does is one."""

Said = Sequence[tuple[str, str]]


DAY = "2026-03-16T08:00:00+00:00"
"""When git says that all was committed: after the last day that is typed."""


def question(person: Person) -> str:
    """See the screen until the program asks; return what it asks, blank at its end."""
    while True:
        wait = QUIET if PROMPT.search(person.seen[person.spot :]) else PATIENCE
        ready, _, _ = select.select([person.line], [], [], wait)
        if not ready:
            break
        try:
            data = os.read(person.line, 4096)
        except OSError:  # the program has gone
            return ""
        if not data:
            return ""
        person.seen += data.decode()
    asked = person.seen[person.spot :].replace("\r", "").rpartition("\n\n")[2]
    person.spot = len(person.seen)
    return " ".join(asked.split())


def answered(root: Path, command: str, said: Said = ()) -> str:
    """
    Run a command at a terminal; say each answer where its words are asked for.

    What nothing is said to is passed over with Enter. Return the screen.
    """
    words, waiting = command.split("|"), list(said)
    person = Person(root, *words, GIT_AUTHOR_DATE=DAY, GIT_COMMITTER_DATE=DAY)
    for _ in range(200):
        asked = question(person)
        if not asked:
            break
        last = asked[-160:]
        found = next((one for one in waiting if one[0] in last), None)
        if found is not None:
            waiting.remove(found)
        person.types(found[1] if found is not None else "")
    status = person.ends()
    assert status == 0, person.seen
    assert waiting == [], person.seen  # every answer was asked for
    return person.seen.replace("\r", "")


CALIBRATED = (("Calibrated on", "2026-01-14"), ("Next due", "2027-01-14"))

LABORATORY: Sequence[tuple[str, Said]] = (
    (
        "enter|lab|T03|--by|E01|--on|2026-03-02",
        (
            ("Roles", "technician"),
            ("Authorized to", "test"),
            ("Authorized from", "2026-03-02"),
        ),
    ),
    (
        "new|project",
        (("Name of the project", "Mill Road"), ("customer", "Mill Road Ltd")),
    ),
    (
        "new|sample",
        (
            ("Received on", "2026-03-09"),
            ("Received by", "T01"),
            ("Condition", "moist, two bags"),
            ("Sampled by", "customer"),
            ("Sampled on", "2026-03-08"),
            ("Place", "pit 1"),
            ("Soil, such", "brown lean clay with gravel"),
            ("Class by", "CL"),
            ("Classified", "visual"),
            ("Retained on 3/4", "0"),
            ("Retained on 3/8", "6.0"),
            ("Retained on No", "12.4"),
            ("Water content", "8.3"),
        ),
    ),
    (
        "new|mold",
        (*CALIBRATED, ("Mass empty", "4.41 lb"), ("volume", "0.0333 ft3")),
    ),
    ("new|rammer", (*CALIBRATED, ("Mass in", "5.50 lb"), ("Drop in", "12.0 in"))),
    ("new|balance", (*CALIBRATED, ("Readability", "1"), ("Capacity", "16000"))),
    ("new|balance", (*CALIBRATED, ("Readability", "0.01"), ("Capacity", "2200"))),
    ("new|oven", CALIBRATED),
    ("new|sieve", (*CALIBRATED, ("Opening", "no 4"))),
    ("enter|B-01|--by|T01|--on|2026-03-09", (("Name or maker", "bench by the door"),)),
)

# Split: container 11 holds 3.53 g of water to 296.47 g, 1.19 %, so 660 g are 652.2 g
# dry; container 12 16.74 to 183.26 g, 9.13 %, so 4795 g are 4393.7 g dry. Retained:
# 652.2 / 5045.9 = 12.9 %. Bulk: 3021 / (3062 - 1905) = 2.611; absorbed: 41 / 3021 =
# 1.4 %.
COARSE: Sequence[tuple[str, Said]] = (
    ("new|coarse-fraction", (("Sieved on", "2026-03-10"), ("Sieved by", "T01"))),
    (
        "enter|MR-0001|--by|T01|--on|2026-03-10",
        (
            ("Balance for the coarse", "b1"),
            ("Sample before", "5460"),
            ("Mass retained", "660"),
            ("Container no.", "11"),
            ("Empty container", "52.13"),
            ("Container and wet", "352.13"),
            ("Mass retained", "4795"),
            ("Container no.", "12"),
            ("Empty container", "51.64"),
            ("Container and wet", "251.64"),
            ("Particles before", "dried"),
            ("Nominal maximum", "3/4 in"),
            ("Into the water", "16:00"),
            ("Out of the water", "2026-03-11 08:00"),
            ("Water temperature", "23.0"),
            ("Surface-dry", "3062"),
            ("In water", "1905"),
        ),
    ),
    (
        "enter|MR-0001|--by|T01|--on|2026-03-12",
        (
            ("Container and dry", "348.60"),
            ("Container and dry", "234.90"),
            ("Into the oven", "2026-03-11 09:30"),
            ("Oven temperature", "110"),
            ("Out of the oven", "2026-03-12 07:30"),
            ("Oven-dry", "3021"),
            ("complete?", "yes"),
        ),
    ),
)

# All at 20 °C: 50.00 / (50.00 + 678.00 - 709.13) = 50.00 / 18.87 = 2.650, and
# 49.95 / (49.95 + 679.50 - 710.60) = 49.95 / 18.85 = 2.650.
GRAVITY: Sequence[tuple[str, Said]] = (
    ("new|specific-gravity", (("Tested on", "2026-03-11"), ("Tested by", "T01"))),
    (
        "enter|MR-0002|--by|T01|--on|2026-03-12",
        (
            ("Prepared on", "2026-03-10"),
            ("Specimen (", "oven-dry"),
            ("De-aired by", "vacuum"),
            ("De-aired for", "2"),
            ("Empty pycnometer", "180.00"),
            ("full of water", "678.00"),
            ("Its water temperature", "20.0"),
            ("soil and water", "709.13"),
            ("Water temperature", "20.0"),
            ("Empty pycnometer", "181.10"),
            ("full of water", "679.50"),
            ("Its water temperature", "20.0"),
            ("soil and water", "710.60"),
            ("Water temperature", "20.0"),
            ("Dry soil", "50.00"),
            ("Dry soil", "49.95"),
            ("Weighed dry on", "2026-03-10"),
            ("complete?", "yes"),
        ),
    ),
)

ISSUED: Sequence[tuple[str, Said]] = (
    ("review|MR-0001|MR-0002|--by|E01|--on|2026-03-12", ()),
    (
        "issue|MR-0001|MR-0002|--authorized-by|E01|--reason|first issue"
        "|--to|Mill Road Ltd|--on|2026-03-12",
        (("Issue this", "y"),),
    ),
    (
        "enter|MR-S01|gravity|--by|T01|--on|2026-03-12",
        (("Specific gravity", "MR-0002"),),
    ),
    ("enter|MR-S01|oversize|--by|T01|--on|2026-03-12", (("Oversize by", "1"),)),
)


def point(pan: str, water: str, filled: str, number: str, *masses: str) -> Said:
    """What is said to the questions of one point."""
    return (
        ("Soil in the pan", pan),
        ("Water added", water),
        ("Mold and wet", filled),
        ("Container no.", number),
        ("Empty container", masses[0]),
        ("Container and wet", masses[1]),
    )


COMPACTION: Sequence[tuple[str, Said]] = (
    (
        "new|moisture-density",
        (
            ("Standard", "t99"),
            ("Method", "a"),
            ("Compacted on", "2026-03-13"),
            ("Compacted by", "T03"),
        ),
    ),
    (
        "enter|MR-0003|--by|T03|--on|2026-03-13",
        (
            ("Prepared on", "2026-03-12"),
            ("Soil preparation", "moist"),
            ("Soil for each", "separate"),
            ("Empty mold", "2000"),
            *point("2410", "85", "3853", "31", "52.13", "198.41"),
            *point("2408", "130", "3938", "34", "51.64", "204.25"),
            *point("2411", "176", "4001", "29", "52.87", "195.96"),
            *point("2409", "222", "4006", "40", "50.92", "200.67"),
            ("Add point 5", "yes"),
            *point("2410", "264", "3980", "33", "52.40", "207.74"),
            ("Into the oven", "15:40"),
            ("Oven temperature", "110"),
            ("Out of the oven", "=remarks"),
            ("Remarks", "a few roots picked out"),
        ),
    ),
    (
        "enter|MR-0003|--by|T03|--on|2026-03-14",
        (
            ("Out of the oven", "2026-03-14 07:55"),
            ("Container and dry", "187.19"),
            ("Container and dry", "190.07"),
            ("Container and dry", "180.44"),
            ("Container and dry", "182.03"),
            ("Container and dry", "186.26"),
            ("complete?", "yes"),
        ),
    ),
    ("review|MR-0003|--by|E01|--on|2026-03-15", ()),
    (
        "issue|MR-0003|--authorized-by|E01|--reason|first issue|--to|Mill Road Ltd"
        "|--on|2026-03-15",
        (("Issue this", "y"),),
    ),
)

INIT = (
    "init|.|--name|Our laboratory|--place|Our town|--staff|T01 technician, E01 engineer"
    "|--since|2026-01-05|--git-name|Bench|--git-email|bench@lab.example|--defaults"
)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A technician's empty folder."""
    for name in ("GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM"):
        monkeypatch.setenv(name, "/dev/null")
    folder = tmp_path / "archive"
    folder.mkdir()
    return folder


def test_from_an_empty_folder_to_an_issued_report_without_a_yaml_file(
    home: Path,
) -> None:
    answered(home, INIT)
    for steps in (LABORATORY, COARSE, GRAVITY, ISSUED, COMPACTION):
        for command, said in steps:
            answered(home, command, said)

    kept = home / "records/mill-road/tests/MR-0003.r0.json"
    results = json.loads(kept.read_bytes())["results"]
    names = {"corrected_maximum_dry_density", "corrected_optimum_water_content"}
    assert names <= results.keys()
    coarse = json.loads(kept.with_name("MR-0001.r0.json").read_bytes())["results"]
    assert coarse["percent_retained"]["reported"] == "12.9 %"
    assert coarse["bulk_specific_gravity"]["reported"] == "2.611"
    assert coarse["absorption"]["reported"] == "1.4 %"
    gravity = json.loads(kept.with_name("MR-0002.r0.json").read_bytes())["results"]
    assert gravity["specific_gravity"]["reported"] == "2.65"

    # AASHTO T 224: oversize and finer soil by their dry masses add up to the water;
    # the oversize was found to have 1.2 %.
    fine = results["optimum_water_content"]["value"]
    whole = (12.9 * 1.2 + (100 - 12.9) * fine) / 100
    assert results["corrected_optimum_water_content"]["value"] == pytest.approx(
        whole, abs=0.02
    )

    report = kept.with_name("MR-0003.r0.html").read_text("utf-8")
    for text in ("MR-0001", "MR-0002", "2.65", "12.9", "a few roots picked out"):
        assert text in report

    assert git(home, "status", "--porcelain") == ""
    assert "0 errors, 0 warnings" in answered(home, "check")
    assert "0 faults" in answered(home, "verify")
    assert "MR-S01-label.html" in answered(home, "worksheet|MR-S01")
