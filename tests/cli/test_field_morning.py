"""A morning of twelve sand cones, the whole way, without a YAML file opened."""

import csv
import io
from collections.abc import Sequence
from pathlib import Path

import pytest

from buildsite.archive.archive import Archive
from buildsite.cli.common import open_archive
from buildsite.exports.schema import schema_files
from tests.archives import sound
from tests.cli.running import Ran, run
from tests.clones import clone, git

PROJECT = "records/marsh-lane/project.yaml"
REQUIRED = b"""requirements:
  - zone: embankment
    standard: {designation: AASHTO T 99, method: A}
    least_percent_compaction: "95"
    water_content: {from: -2, to: 2, as: points}
    compare: rounded
"""
TWELVE = range(1, 13)
DAY, NEXT_DAY = "2026-03-11", "2026-03-12"
FIRST = (
    *("--project", "marsh-lane", "--zone", "embankment", "--lift", "7"),
    *("--station", "12+40", "--offset", "3.2", "--side", "left"),
    *("--reference", "ML-101", "--largest-particle", "No. 4"),
    *("--on", DAY, "--by", "T07", "--defaults"),
)
BEFORE, SOIL, AFTER = "8084", "3136", "4172"
EMPTY, WET, DRY = "31.20", "171.20", "150.35"
# By hand. Sand in cone and plate: 1482, 1480, 1481, so 1481 g. Bag 14 on 2 March 2026:
# 1422, 1424, 1420, so 1422 g in 943.6 cm3, 1.50699 g/cm3. Hole (8084 - 4172 - 1481) /
# 1.50699 = 1613.14 cm3; wet 3136 / 1613.14 = 1.94403 g/cm3. Water (171.20 - 150.35) /
# (150.35 - 31.20) = 17.499 %; dry 1.94403 / 1.17499 = 1.65451 g/cm3, 103.29 lb/ft3; of
# 108.1 lb/ft3 (tests/archives.py) 95.5 %.
PERCENT, DRY_DENSITY = 95.55, "103.3 lb/ft3"

KEYS_A_SECOND = 2
"""With gloves on: common practice, slow."""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    files = dict(sound(("field-apparatus",)))
    files[PROJECT] += REQUIRED
    clone(tmp_path, {**files, **schema_files()})
    return tmp_path


def typed(root: Path, id: str, on: str, lines: Sequence[str]) -> Ran:
    text = "".join(f"{line}\n" for line in lines)
    words = ("enter", id, "--by", "T07", "--on", on, "--root", root)
    return run(*words, stdin=text.encode())


def id_of(number: int) -> str:
    return f"ML-F{number:04d}"


def at_the_hole(number: int) -> list[str]:
    """What is typed at the tailgate: a number and Enter, or Enter alone."""
    known = [""]  # the offset stands; the bag is the one in use
    can = [f"F{number}", EMPTY, WET, ""]  # no second container
    return [*known, BEFORE, SOIL, AFTER, *can]


def archive(root: Path) -> Archive:
    return open_archive(root)


def begun(root: Path) -> str:
    made = run("new", "field-density", "--root", root, *FIRST)
    assert made.status == 0, made.err
    return made.out.strip()


def test_twelve_sand_cones_from_the_fill_to_the_verdict(root: Path) -> None:
    assert begun(root) == "records/marsh-lane/tests/ML-F0001.yaml"
    morning: list[str] = []
    for number in TWELVE:
        morning += at_the_hole(number)
        if number < 12:  # the second station is typed, the others follow by its step
            morning += ["12+90", ""] if number == 1 else [""]
    morning.append("/")

    first = typed(root, "ML-F0001", DAY, morning)

    assert first.status == 0, first.err
    assert "hole volume 1613 cm3" in first.err.replace("³", "3")
    assert "ML-F0012: saved" in first.err
    keys = sum(len(line) + 1 for line in morning)
    assert keys / KEYS_A_SECOND < 5 * 60, keys
    places = [
        archive(root).entry(f"records/marsh-lane/tests/{id_of(n)}.yaml").record
        for n in TWELVE
    ]
    assert [one.position.station for one in places if one is not None] == [
        f"{(1240 + 50 * i) // 100}+{(1240 + 50 * i) % 100:02d}" for i in range(12)
    ]
    assert git(root, "status", "--porcelain") == ""

    oven = [f"{DAY} 16:00", "110", f"{NEXT_DAY} 08:00", "B-03", "O-01"]
    later = [*oven, DRY, "", "", "", "", "yes", ""]
    for number in TWELVE[1:]:
        later += ["", DRY, "yes"] + ([""] if number < 12 else ["/"])
    second = typed(root, "ML-F0001", NEXT_DAY, later)

    assert second.status == 0, second.err
    assert "As ML-F0001:" in second.err
    now = archive(root)
    for number in TWELVE:
        made = now.outcome(f"records/marsh-lane/tests/{id_of(number)}.yaml")
        assert made is not None
        assert made.status == "complete", second.err
        results = made.results
        assert results["dry_density"].reported == DRY_DENSITY
        assert results["percent_compaction"].value == pytest.approx(PERCENT, abs=0.05)
        assert made.detail()["acceptance"]["verdict"] == "pass"
    assert git(root, "status", "--porcelain") == ""


def test_a_hole_too_small_is_told_while_it_is_open(root: Path) -> None:
    begun(root)
    lines = ["", BEFORE, "1500", "6000"]

    told = typed(root, "ML-F0001", DAY, lines).err

    # (8084 - 6000 - 1481) / 1.50699 = 400 cm3; the table asks for 710 cm3 for No. 4.
    assert "a hole of 400 cm" in " ".join(told.split())
    assert "710 cm" in " ".join(told.split())


def test_an_apparatus_that_lost_no_sand_is_told_at_once(root: Path) -> None:
    begun(root)
    told = typed(root, "ML-F0001", DAY, ["", AFTER, SOIL, BEFORE]).err

    assert "of sand in the hole" in " ".join(told.split())


def test_a_bag_of_sand_that_is_out_of_date_is_asked_for_and_told(root: Path) -> None:
    apparatus = root / "records/equipment/SC-01.yaml"
    text = apparatus.read_text("utf-8")
    assert "next_due: 2026-03-16" in text
    apparatus.write_text(text.replace("next_due: 2026-03-16", "next_due: 2026-03-10"))
    git(root, "commit", "-qam", "sand due earlier")
    begun(root)

    lines = ["", "14", "the fresh bag is wet", BEFORE, SOIL, AFTER]
    told = " ".join(typed(root, "ML-F0001", DAY, lines).err.split())

    assert "Bag of sand: 14 ? bag 14, found on 2026-03-02, due 2026-03-10" in told
    assert "hole volume 1613" in told


def test_a_mass_typed_for_the_offset_and_a_mistyped_station_are_doubted(
    root: Path,
) -> None:
    begun(root)
    told = typed(root, "ML-F0001", DAY, [BEFORE, "3.2"]).err
    assert "8084 ft from the line" in " ".join(told.split())

    told = typed(root, "ML-F0001", DAY, [*at_the_hole(1), "12+9O", "/"]).err
    assert "12+9O" in told


def test_a_test_in_which_nothing_was_entered_is_not_kept(root: Path) -> None:
    begun(root)
    done = typed(root, "ML-F0001", DAY, [*at_the_hole(1), "12+90", "", "/"])

    assert "ML-F0002: nothing entered, so it is not kept." in done.err
    assert not (root / "records/marsh-lane/tests/ML-F0002.yaml").exists()
    assert git(root, "status", "--porcelain") == ""


def test_a_morning_as_a_table_is_one_command_and_one_commit(root: Path) -> None:
    table = root.parent / "morning.csv"
    made = run(
        *("new", "field-density", "--root", root, "--template", table),
        *("--count", "12", *FIRST),
    )
    assert made.status == 0, made.err
    rows = list(csv.DictReader(io.StringIO(table.read_text("utf-8-sig"))))
    assert [row["id"] for row in rows] == [id_of(n) for n in TWELVE]
    for i, row in enumerate(rows):
        row |= {
            "position.station": f"{12 + i}+40",
            "sand_bag": "14",
            "apparatus_before": BEFORE,
            "wet_soil": SOIL,
            "apparatus_after": AFTER,
            "container.container": f"F{i}",
            "container.container_mass": EMPTY,
            "container.container_and_wet": WET,
            "container.container_and_dry": DRY,
        }
    filled = root.parent / "filled.csv"
    with filled.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)

    came = run("new", "field-density", "--root", root, "--from", filled, "--commit")

    assert came.status == 0, came.err
    assert len(came.out.splitlines()) == 12
    assert git(root, "log", "-1", "--format=%s") == "Import 12 tests from filled.csv"
    last = archive(root).outcome("records/marsh-lane/tests/ML-F0012.yaml")
    assert last is not None
    assert last.results["dry_density"].reported == DRY_DENSITY

    out = root.parent / "out.csv"
    sent = run(
        *("new", "field-density", "--root", root, "--export", out),
        *("--zone", "embankment"),
    )
    assert (sent.status, sent.err) == (0, "12 records\n")
    again = list(csv.DictReader(io.StringIO(out.read_text("utf-8-sig"))))
    for old, new in zip(rows, again, strict=True):
        assert {k: v for k, v in old.items() if v} == {
            k: v for k, v in new.items() if v
        }


def test_a_page_for_the_day_has_a_row_for_each_test(root: Path) -> None:
    begun(root)
    typed(root, "ML-F0001", DAY, [*at_the_hole(1), "12+90", "", *at_the_hole(2), "/"])
    words = ("worksheet", "field-density", "--root", root, "--out", "-")

    day = run(*words, "--on", DAY, "--project", "marsh-lane")
    blank = run(*words, "--rows", "3")

    assert day.status == 0, day.err
    assert day.out.count('<th scope="row">ML-F000') == 4  # on the fill, and afterwards
    assert "12+40" in day.out
    assert "8084" in day.out
    assert "Open holes" in day.out
    assert blank.status == 0
    assert "ML-F" not in blank.out
