"""Samples, staff and equipment from tables, and the summary of an import."""

import csv
import io
from pathlib import Path

import pytest

from buildsite.exports.schema import schema_files
from buildsite.record.source import read_source
from tests.archives import sound
from tests.cli.running import Ran, run
from tests.cli.test_new import files
from tests.clones import clone, git, write
from tests.starting.test_table import FIRST, GOOD

SAMPLES = """\
id,received.on,received.by,received.condition,sampled.by,sampled.place,soil.name,soil.class,gradation.retained_no_4
,2026-03-01,T07,sealed bag,customer,"Pit 2, 1.5 m",brown lean clay,CL,2
,2026-03-02,T07,sealed bag,T07,Pit 3,silty sand,SM,4.0
ML-S77,2026-03-02,T07,torn bag,T07,Pit 4,sandy gravel,GW,
"""
BALANCES = """\
id,units.mass,readability,capacity,calibration.on,calibration.by,calibration.next_due,calibration.largest_error
B-21,g,0.01,2000,2025-01-14,T07,2026-01-14,0.01
B-21,,,,2026-01-12,T07,2027-01-12,0.02
,g,0.1,6000,2026-01-12,T07,2027-01-12,
"""
STAFF = """\
code,roles,may,from,until,emails
T21,technician,test,2026-01-05,,t21@lab.example
E21,engineer / manager,review/authorize,2026-01-05,2027-12-31,
"""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write(tmp_path / "archive", {**sound(), **schema_files()})


def table(root: Path, text: str) -> Path:
    path = root.parent / "table.csv"
    path.write_text(text, "utf-8")
    return path


def taken(root: Path, kind: str, text: str, *more: str) -> Ran:
    return run("new", kind, "--from", table(root, text), *more, "--root", root)


def tree(root: Path, name: str) -> dict[str, object]:
    source = read_source(name, (root / name).read_bytes())
    assert source.faults == ()
    return dict(source.tree)


def test_samples_each_row_one_with_the_next_free_id(root: Path) -> None:
    ran = taken(root, "sample", SAMPLES)

    assert ran.status == 0, ran.err
    names = ran.out.splitlines()
    assert [Path(name).stem for name in names] == ["ML-S3", "ML-S4", "ML-S77"]
    first = tree(root, names[0])
    assert first["received"] == {
        "on": "2026-03-01",
        "by": "T07",
        "condition": "sealed bag",
    }
    assert first["sampled"] == {"by": "customer", "place": "Pit 2, 1.5 m"}
    assert tree(root, names[1])["gradation"] == {"retained_no_4": "4.0"}
    assert "status" not in first
    assert "3 samples. Next: buildsite check" in ran.err
    assert run("check", *(root / name for name in names)).status == 0


def test_equipment_with_its_calibrations_in_further_rows(root: Path) -> None:
    ran = taken(root, "balance", BALANCES)

    assert ran.status == 0, ran.err
    first, second = ran.out.splitlines()
    assert first == "records/equipment/B-21.yaml"
    found = tree(root, first)
    assert found["readability"] == "0.01"
    assert found["calibrations"] == [
        {
            "on": "2025-01-14",
            "by": "T07",
            "next_due": "2026-01-14",
            "largest_error": "0.01",
        },
        {
            "on": "2026-01-12",
            "by": "T07",
            "next_due": "2027-01-12",
            "largest_error": "0.02",
        },
    ]
    assert tree(root, second)["capacity"] == "6000"
    assert run("check", root / first, root / second).status == 0


@pytest.mark.parametrize("kind", ["sample", "project", "balance", "mold", "oven"])
def test_an_empty_table_can_be_filled_in_and_read(root: Path, kind: str) -> None:
    path = root.parent / "empty.csv"

    ran = run("new", kind, "--template", path, "--defaults", "--root", root)

    assert ran.status == 0, ran.err
    names, first = csv.reader(io.StringIO(path.read_text("utf-8-sig")))
    assert names[0] == "id"
    assert len(first) == len(names)


def test_people_are_added_and_every_other_byte_stays(root: Path) -> None:
    lab = root / "records/lab.yaml"
    before = lab.read_text()

    ran = taken(root, "staff", STAFF, "--by", "E02")

    assert ran.status == 0, ran.err
    assert "2 people added: T21, E21" in ran.err
    kept = [line for line in lab.read_text().splitlines() if "21:" not in line]
    assert kept == before.splitlines()
    found = tree(root, "records/lab.yaml")["staff"]
    assert isinstance(found, dict)
    assert found["T21"] == {
        "roles": ["technician"],
        "may": ["test"],
        "from": "2026-01-05",
        "emails": ["t21@lab.example"],
    }
    assert found["E21"]["roles"] == ["engineer", "manager"]
    assert found["E21"]["may"] == ["review", "authorize"]


def test_people_are_committed_if_asked(tmp_path: Path) -> None:
    root = tmp_path / "archive"
    root.mkdir()
    clone(root, {**sound(), **schema_files()})
    git(root, "config", "user.name", "A")
    git(root, "config", "user.email", "a@lab.example")

    assert taken(root, "staff", STAFF, "--commit", "--by", "e02").status == 0
    assert git(root, "status", "--porcelain") == ""
    assert git(root, "log", "-1", "--format=%B") == (
        "lab: 2 people added from table.csv\n\nEntered-by: E02"
    )

    lab = root / "records/lab.yaml"
    lab.write_text(f"{lab.read_text()}# of another\n")
    more = STAFF.replace("21,", "22,")
    refused = taken(root, "staff", more, "--commit", "--by", "E02")
    assert (refused.status, "not committed" in refused.err) == (1, True)


@pytest.mark.parametrize(
    ("more", "status", "says"),
    [
        (("--by", "T07"), 1, "T07 has no authority to authorize"),
        (("--by", "X99"), 1, "X99 is not a staff code"),
        ((), 2, "Who adds them? Give --by CODE"),
    ],
)
def test_who_adds_people_has_the_authority_that_enter_lab_asks(
    root: Path, more: tuple[str, ...], status: int, says: str
) -> None:
    before = files(root)

    ran = taken(root, "staff", STAFF, *more)

    assert (ran.status, ran.out) == (status, "")
    assert says in ran.err
    assert files(root) == before


def test_where_nobody_can_authorize_the_first_are_added_by_anybody(root: Path) -> None:
    lab = root / "records/lab.yaml"
    lab.write_text(lab.read_text().replace(", authorize", ""))

    assert taken(root, "staff", STAFF).status == 0


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        (STAFF.replace("T21,tech", "T07,tech"), "row 2, column A, code", "is taken"),
        (STAFF.replace("E21,", "t21,"), "row 3, column A, code", "is taken"),
        (STAFF.replace("E21,", ","), "row 3, column A, code", "a staff code"),
        (STAFF.replace(",test,", ",tests,"), "row 2, column C, may", "review"),
        (STAFF.replace("2027-12-31", "31.12.2027"), "row 3, column E, until", "date"),
        (STAFF.replace("code,roles", "code,role"), "row 1, column B", "roles"),
        (STAFF.replace("code,roles", "roles,code2"), "row 1, code", "add a column"),
    ],
)
def test_one_bad_cell_and_nobody_is_added(
    root: Path, text: str, place: str, words: str
) -> None:
    before = files(root)

    ran = taken(root, "staff", text, "--by", "E02")

    assert (ran.status, ran.out) == (1, "")
    assert place in ran.err
    assert words in ran.err
    assert "corrective action: " in ran.err
    assert files(root) == before


def test_a_table_is_given_once(root: Path) -> None:
    assert run("new", "staff", "--root", root).status == 2


def test_an_import_ends_in_its_flags_errors_first(root: Path) -> None:
    # A dry density above that of a solid: 5.0 g/cm3, the densest of common minerals.
    impossible = "".join(
        GOOD.replace("ML-9", f"ML-{number}").replace("114.0", "340.0").split("\n", 1)[1]
        for number in range(201, 208)
    )
    ran = taken(root, "moisture-density", f"{GOOD}{impossible}")

    assert ran.status == 0, ran.err
    lines = ran.err.splitlines()
    severities = [line.split(": ")[0] for line in lines[:-1]]
    assert severities == sorted(severities, key=["error", "warning", "note"].index)
    assert (
        "error: impossible-density: 7 records: "
        "ML-201, ML-202, ML-203, ML-204, ML-205 and 2 more"
    ) in lines
    assert lines[-1] == "8 tests, 24 rows. Next: buildsite check"


def test_each_row_of_the_summary_is_a_flag_that_check_gives(root: Path) -> None:
    ran = taken(root, "moisture-density", GOOD + FIRST.replace("ML-9", "ML-10") + "\n")

    told = {line.split(": ")[1] for line in ran.err.splitlines()[:-1]}
    checked = run("check", *(root / name for name in ran.out.splitlines()))
    assert told
    assert all(name in checked.out for name in told)
