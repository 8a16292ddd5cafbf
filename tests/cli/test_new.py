"""`new`: the next record, told by options or prompts, that `check` can read."""

import json
from collections.abc import Sequence
from pathlib import Path

import pytest
import yaml

from buildsite.exports.schema import schema_files
from buildsite.kinds import all_kinds
from tests.archives import sound
from tests.cli.running import Ran, run
from tests.clones import clone, git, write
from tests.entering.terminal import Person

BLANK = [each.name for each in all_kinds() if each.blank is not None]

TOLD = {
    "project": ["--name", "Heron Flats", "--customer", "A, B & Co"],
    "sample": [],
    "moisture-density": ["--on", "2026-03-10", "--by", "T07", "--compacted-unit", "lb"],
    "water-content": ["--on", "2026-03-10", "--by", "T07"],
    "coarse-fraction": ["--sieve", "3/4 in", "--on", "2026-03-10", "--by", "T07"],
    "specific-gravity": ["--on", "2026-03-10", "--by", "T07"],
    "one-point": ["--on", "2026-03-10", "--by", "T07", "--effort", "T 99"],
    "family-of-curves": ["--members", "ML-101"],
    "lift-acceptance": ["--zone", "bank", "--lift", "7"],
    "daily-report": ["--on", "2026-03-10", "--inspector", "T07"],
    "field-density": ["--station", "12+40", "--on", "2026-06-02", "--by", "T07"],
    "pycnometer": ["--capacity", "500", "--on", "2026-01-14"],
    "sand-cone": ["--on", "2026-01-14"],
    "drive-cylinder": ["--on", "2026-01-14"],
    "gauge": ["--on", "2026-01-14", "--serial", "00471"],
    "balloon": ["--on", "2026-01-14"],
    "mold": ["--nominal", "4 in", "--on", "2026-01-14"],
    "rammer": ["--operation", "manual", "--face", "round", "--on", "2026-01-14"],
    "balance": ["--readability", "0.01", "--on", "2026-01-14"],
    "oven": ["--on", "2026-01-14"],
    "sieve": ["--opening", "No. 4", "--on", "2026-01-14"],
}
WHERE = {
    "field-density": "records/marsh-lane/tests/ML-F0001.yaml",
    "project": "records/heron-flats/project.yaml",
    "sample": "records/marsh-lane/samples/ML-S3.yaml",
    "moisture-density": "records/marsh-lane/tests/ML-103.yaml",
    "water-content": "records/marsh-lane/tests/ML-103.yaml",
    "coarse-fraction": "records/marsh-lane/tests/ML-103.yaml",
    "specific-gravity": "records/marsh-lane/tests/ML-103.yaml",
    "one-point": "records/marsh-lane/tests/ML-P0001.yaml",
    "family-of-curves": "records/marsh-lane/families/family-01.yaml",
    "lift-acceptance": "records/marsh-lane/acceptances/ML-L0001.yaml",
    "daily-report": "records/marsh-lane/daily/ML-D0001.yaml",
    "pycnometer": "records/equipment/PY-01.yaml",
    "sand-cone": "records/equipment/SC-01.yaml",
    "drive-cylinder": "records/equipment/DC-01.yaml",
    "gauge": "records/equipment/G-01.yaml",
    "balloon": "records/equipment/BA-01.yaml",
    "mold": "records/equipment/M-05.yaml",
    "rammer": "records/equipment/R-03.yaml",
    "balance": "records/equipment/B-12.yaml",
    "oven": "records/equipment/O-02.yaml",
    "sieve": "records/equipment/SV-01.yaml",
}
DATED = {
    kind: TOLD[kind]
    for kind, file in WHERE.items()
    if file.startswith("records/equipment/")
}
"""What equipment must be told: undated, no record of it is read."""


@pytest.fixture(scope="module")
def schemas() -> dict[str, bytes]:
    """Made once: they are current, and `new` need not write them."""
    return schema_files()


@pytest.fixture
def root(tmp_path: Path, schemas: dict[str, bytes]) -> Path:
    return write(tmp_path, {**sound(), **schemas})


@pytest.mark.parametrize("kind", BLANK)
def test_a_record_told_all_is_written_and_read(root: Path, kind: str) -> None:
    ran = run("new", kind, "--root", root, "--defaults", *TOLD[kind])

    assert (ran.status, ran.out, ran.err) == (0, WHERE[kind] + "\n", "")
    checked = run("check", root / WHERE[kind])
    assert "missing-field" not in checked.out
    assert ": error: " not in checked.out


@pytest.mark.parametrize("kind", BLANK)
def test_what_was_not_told_is_blank_and_flagged_as_missing(
    root: Path, kind: str
) -> None:
    ran = run("new", kind, "--root", root, "--defaults", *DATED.get(kind, ()))

    assert ran.status == 0, ran.err
    checked = run("check", root / ran.out.strip())
    heavy = {
        line.rpartition(" ")[2]
        for line in checked.out.splitlines()
        if line.startswith("records/") and ": note: " not in line
    }
    # A field test is also told that the project states no requirement for its zone.
    assert heavy <= {"missing-field", "zone-without-requirement"}


@pytest.mark.parametrize("kind", BLANK)
def test_a_record_names_a_schema_that_is_there(root: Path, kind: str) -> None:
    ran = run("new", kind, "--root", root, "--defaults", *DATED.get(kind, ()))
    path = root / ran.out.strip()
    line = path.read_text("utf-8").splitlines()[0]

    schema = path.parent / line.partition("$schema=")[2]
    assert schema.resolve() == (root / f"records/.schema/{kind}.json").resolve()
    assert schema.is_file()


@pytest.mark.parametrize("kind", BLANK)
def test_the_next_one_gets_the_next_id(root: Path, kind: str) -> None:
    dated = DATED.get(kind, ())
    first = run("new", kind, "--root", root, "--defaults", *dated)
    before = (root / first.out.strip()).read_bytes()

    second = run("new", kind, "--root", root, "--defaults", *dated)

    assert first.out != second.out
    assert (root / first.out.strip()).read_bytes() == before


@pytest.mark.parametrize("kind", sorted(DATED))
def test_equipment_without_a_date_is_refused_first(root: Path, kind: str) -> None:
    before = files(root)

    ran = run("new", kind, "--root", root, "--defaults")

    assert ran.status == 2
    (line,) = [one for one in ran.err.splitlines() if "asks for nothing: " in one]
    assert "--on" in line.partition("nothing: ")[2].partition(".")[0]
    assert files(root) == before


def files(root: Path) -> dict[str, bytes]:
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in root.rglob("*")
        if path.is_file()
    }


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["moisture-density", "--id", "ML-101"], "taken"),
        (["moisture-density", "--id", "ml-101"], "taken"),
        (["mold", *DATED["mold"], "--id", "B-11"], "taken"),
        (["project", "--id", "marsh-lane"], "taken"),
        (["project", "--id", "equipment"], "folder"),
        (["mold", *DATED["mold"], "--id", "../M-9"], "can't be an id"),
        (["mold", *DATED["mold"], "--id", "M 9"], "can't be an id"),
        (["moisture-density", "--id", "ML-103.issued"], "can't be an id"),
        (["sample", "--project", "nowhere"], "No project 'nowhere'"),
        (["sample", "--project", "../.."], "No project"),
        (["rammer", "--operation", "steam"], "'steam' is not one of"),
        (["moisture-density", "--compacted-unit", "stone"], "is not one of"),
        (["mould"], "No such command"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_written(
    root: Path, words: list[str], said: str
) -> None:
    before = files(root)

    ran = run("new", *words, "--defaults", "--root", root)

    assert ran.status == 2
    assert said in ran.err
    assert ran.out == ""
    assert files(root) == before


def test_a_file_that_stands_there_is_never_overwritten(root: Path) -> None:
    (root / "records/equipment/M-05.yaml").write_text("mine")

    words = ("--id", "M-05", *DATED["mold"], "--defaults")
    ran = run("new", "mold", *words, "--root", root)
    assert (ran.status, "M-05 is taken" in ran.err) == (2, True)
    assert (root / "records/equipment/M-05.yaml").read_text() == "mine"


def read(root: Path, name: str) -> dict[str, object]:
    text = (root / name).read_text("utf-8")
    found: dict[str, object] = yaml.load(text, yaml.CBaseLoader)  # noqa: S506  text only
    return found


def test_defaults_are_what_the_archive_knows(root: Path) -> None:
    run("new", "moisture-density", "--defaults", "--root", root)

    found = read(root, WHERE["moisture-density"])
    assert (found["project"], found["sample"]) == ("marsh-lane", "ML-S2")
    assert found["status"] == "in-progress"


def asked(root: Path, kind: str, *answers: str, words: Sequence[str] = ()) -> Ran:
    """Answer the prompts, one line each."""
    typed = "".join(f"{answer}\n" for answer in answers)
    return run("new", kind, *words, "--root", root, stdin=typed.encode())


def test_prompts_are_talk_and_the_file_is_the_result(root: Path) -> None:
    enter = ("", "", "")
    answers = ("steam", "mechanical", *enter, "2026-01-14", "", *enter)
    ran = asked(root, "rammer", *answers)

    assert (ran.status, ran.out) == (0, "records/equipment/R-03.yaml\n")
    assert "Operation (manual" in ran.err
    assert "Calibrated on (YYYY-MM-DD):" in ran.err  # no empty [] for a default
    found = read(root, "records/equipment/R-03.yaml")
    assert found["operation"] == "mechanical"  # after another try
    assert found["face"] == "round"  # Enter takes what is offered
    assert found["calibrations"][0]["on"] == "2026-01-14"  # type: ignore[index]


def test_an_answer_that_no_record_holds_is_asked_for_again(root: Path) -> None:
    days = ("14/1/2026", "2026-01-14", "2027-01-14")
    masses = ("2 001", "2001", "943,2", "943.2")
    ids = ("M 5", "M-04", "M-05")
    ran = asked(root, "mold", "6", "4 in", *days, "", *masses, "", *ids)

    assert ran.status == 0, ran.err
    assert "? 6; molds of the methods known here: 1 L, " in ran.err
    assert "! 'M 5' can't be an id" in ran.err
    assert "! M-04 is taken" in ran.err
    assert "! '14/1/2026'; expected: a date as YYYY-MM-DD" in ran.err
    assert "write the digits as read" in ran.err
    text = (root / "records/equipment/M-05.yaml").read_text()
    assert "{on: 2026-01-14, by: , next_due: 2027-01-14," in text
    assert "mass: 2001, volume: 943.2," in text


def test_what_a_record_cannot_be_read_without_is_asked_for_until_it_is_there(
    root: Path,
) -> None:
    ran = asked(root, "project", "Heron Flats", "", "A & Co", "")
    assert ran.status == 0, ran.err
    assert ran.err.count("! Required") == 1
    assert read(root, WHERE["project"])["customer"]["name"] == "A & Co"  # type: ignore[index]

    ran = asked(root, "sieve", "4", "No. 4", "", "", "2026-01-14", "", "", "")
    assert ran.status == 0, ran.err
    assert "? 4; expected: a sieve such as No. 4" in ran.err
    assert ran.err.count("! Required: the record can't be read without it.") == 2
    found = read(root, WHERE["sieve"])
    assert found["calibrations"][0]["on"] == "2026-01-14"  # type: ignore[index]


def test_a_class_and_a_sieve_are_written_as_usual(root: Path) -> None:
    words = ("--soil-class", "cl", "--received-on", "2026-03-09", "--defaults")
    assert run("new", "sample", *words, "--root", root).status == 0
    sample = read(root, "records/marsh-lane/samples/ML-S3.yaml")
    assert sample["soil"]["class"] == "CL"  # type: ignore[index]
    words = ("--opening", "#4", "--on", "2026-01-14", "--defaults")
    assert run("new", "sieve", *words, "--root", root).status == 0
    assert read(root, WHERE["sieve"])["opening"] == "No. 4"


def test_a_question_mark_is_no_answer(root: Path) -> None:
    ran = asked(root, "project", "Heron Flats", "?", "A & Co", "")
    assert ran.status == 0, ran.err
    assert "Ctrl-C: leave, and write nothing." in ran.err
    assert read(root, WHERE["project"])["customer"]["name"] == "A & Co"  # type: ignore[index]


def test_a_doubted_answer_stands_when_it_is_given_twice(root: Path) -> None:
    class_of_soil = ("XX", "CL")
    said_twice = ("X09", "X09")
    came = ("nowhere", "", "2026-03-09", *("",) * 6)
    log_in = (*came, "clay", *class_of_soil, *("",) * 5, "2.65")
    ran = asked(root, "sample", *log_in, "", "", "", "")

    assert "No project 'nowhere' in this archive: marsh-lane" in ran.err
    assert "? XX; expected: a group symbol such as CL" in ran.err
    assert read(root, "records/marsh-lane/samples/ML-S3.yaml")["soil"]["class"] == "CL"  # type: ignore[index]

    told = ("", "", "", "", "", "2026-03-10", *said_twice, "", "")
    ran = asked(root, "moisture-density", *told)
    assert "? X09; expected: a staff code of lab.yaml" in ran.err
    test = read(root, "records/marsh-lane/tests/ML-103.yaml")
    assert test["compacted"]["by"] == "X09"  # type: ignore[index]


def test_one_goes_back_to_the_question_before_and_keeps_what_was_said(
    root: Path,
) -> None:
    days = ("2027-01-14", "-", "2026-01-14", "2027-01-14")
    # The wrong opening; then twice back, over what is not asked.
    ran = asked(root, "sieve", "3/8 in", *days[:1], "-", "-", "No. 4", "", "", "", "")

    assert ran.status == 0, ran.err
    assert "Calibrated on (YYYY-MM-DD) [2027-01-14]: " in ran.err
    text = (root / "records/equipment/SV-01.yaml").read_text()
    assert "opening: No. 4" in text
    assert "on: 2027-01-14" in text

    ran = asked(root, "oven", "-", *days, "", "", "")
    assert ran.status == 0, ran.err
    text = (root / "records/equipment/O-02.yaml").read_text()
    assert "on: 2026-01-14, by: , next_due: 2027-01-14" in text


def test_an_edition_is_of_the_standard_chosen(root: Path) -> None:
    """ASTM D698-12(2021) is the newest that is known here: its title page."""
    told = ("--project", "marsh-lane", "--sample", "ML-S2", "--standard", "ASTM D698")
    answers = ("22", "2012", "2012", "", "2026-03-10", "X9", "T07", "", "")
    ran = asked(root, "moisture-density", *answers, words=told)

    assert ran.status == 0, ran.err
    assert "Edition, such as 22 or 12(2021) [12(2021)]:" in ran.err
    assert "? 22; editions of ASTM D698 known here: 78," in ran.err
    assert "? X9; expected: a staff code of lab.yaml: " in ran.err
    test = read(root, WHERE["moisture-density"])
    assert test["standard"]["edition"] == "2012"  # type: ignore[index]


@pytest.mark.parametrize(
    ("standard", "method", "kept"),
    [
        ("t180", "a", ("AASHTO T 180", "A")),
        ("t 180", "C", ("AASHTO T 180", "C")),
        ("d698", "b", ("ASTM D698", "B")),
    ],
)
def test_a_standard_and_its_method_are_kept_as_the_standard_writes_them(
    root: Path, standard: str, method: str, kept: tuple[str, str]
) -> None:
    words = ("--standard", standard, "--method", method, "--defaults", "--root", root)
    ran = run("new", "moisture-density", "--project", "marsh-lane", *words)

    assert ran.status == 0, ran.err
    found = read(root, WHERE["moisture-density"])["standard"]
    assert (found["designation"], found["method"]) == kept  # type: ignore[index]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ("--standard", "t181"),
            "--standard: 't181' is not one of: AASHTO T 180, AASHTO T 99, AS 1289",
        ),
        (("--standard", "t 99", "--method", "e"), "'e' is not one of: A, B, C, D."),
        # A standard of another test.
        (("--standard", "d2216"), "'d2216' is not one of: AASHTO T 180"),
    ],
)
def test_a_standard_or_method_that_is_not_known_is_refused_with_the_list(
    root: Path, words: tuple[str, ...], says: str
) -> None:
    before = files(root)
    more = ("--project", "marsh-lane", "--defaults", "--root", root)
    ran = run("new", "moisture-density", *words, *more)

    assert ran.status == 2
    assert says in " ".join(ran.err.split())
    assert files(root) == before


def test_at_the_prompt_they_are_asked_again(root: Path) -> None:
    told = ("--project", "marsh-lane", "--sample", "ML-S2")
    answers = ("t181", "d1557", "", "e", "a", "2026-03-10", "T07", "LB", "")
    ran = asked(root, "moisture-density", *answers, words=told)

    assert ran.status == 0, ran.err
    assert "! 't181' is not one of: AASHTO T 180, AASHTO T 99," in ran.err
    assert "! 'e' is not one of: A, B, C." in ran.err
    test = read(root, WHERE["moisture-density"])
    assert test["standard"]["designation"] == "ASTM D1557"  # type: ignore[index]
    assert test["standard"]["method"] == "A"  # type: ignore[index]
    assert test["units"]["compacted"] == "lb"  # type: ignore[index]


def test_an_option_that_no_record_holds_is_refused(root: Path) -> None:
    before = files(root)

    ran = run("new", "rammer", "--mass", "5.5 st", "--defaults", "--root", root)

    assert ran.status == 2
    assert "--mass: '5.5 st'; expected: a number" in ran.err
    assert files(root) == before


def test_at_a_terminal_equipment_is_committed_and_a_test_says_how_to_go_on(
    tmp_path: Path, schemas: dict[str, bytes]
) -> None:
    clone(tmp_path, {**sound(), **schemas})
    known = ["--on", "", "--next-due", "", "--certificate", ""]
    known += ["--set-temperature-c", ""]

    one = Person(tmp_path, "new", "oven", *known)
    one.waits_for("Id [O-02]:")
    one.types("")
    one.waits_for(
        "Commit it now? Reports are issued only from committed records [Y/n]:"
    )
    one.types("")
    assert one.ends() == 0
    assert git(tmp_path, "log", "-1", "--format=%s") == "O-02: new oven"

    one = Person(tmp_path, "new", "water-content", *["--on", "2026-03-10"])
    for _ in range(7):
        one.types("")
    one.waits_for("Next, enter its readings: buildsite enter ML-103")
    assert one.ends() == 0
    assert "Commit it now?" not in one.seen


def test_a_mold_measured_here_needs_no_file_to_be_edited(root: Path) -> None:
    """
    Water of 2012.4 - 1068.1 = 944.3 g at 22.0 °C, of 0.99777 g/cm³ (ASTM D854, table
    of the density of water), fills 946.4 cm³; a cylinder of 101.6 by 116.43 mm holds
    944.0 cm³ by hand.
    """
    days = ("", "2026-01-14", "2027-01-14")
    water = ("1068,1", "1068.1", "2012.4", "22.0")
    sizes = ("101.6 101,6", "101.60 101.60, 101.60 101.60", "116.4 116.5 116.4")
    ran = asked(root, "mold", *days, "", "2001", "", *water, *sizes, "", "")

    assert ran.status == 0, ran.err
    assert ran.err.count("write the digits as read") == 2  # a comma, and again
    found = run("show", "M-05", "--json", "--root", root)
    one = json.loads(found.out)["calibrations"][0]
    assert one["volume_by_water_m3"] == pytest.approx(946.4e-6, abs=0.05e-6)
    assert one["volume_by_dimensions_m3"] == pytest.approx(944.0e-6, abs=0.05e-6)


def test_a_mold_with_a_certified_volume_is_asked_nothing_more(root: Path) -> None:
    ran = asked(root, "mold", "", "2026-01-14", "", "plate", "2001", "943.2", "C-7", "")

    assert ran.status == 0, ran.err
    assert "water" not in ran.err
    assert "Inside diameters" not in ran.err
    text = (root / "records/equipment/M-05.yaml").read_text("utf-8")
    assert "weighed_with: mold and base plate, mass: 2001" in text


@pytest.mark.parametrize(
    ("kind", "answers", "found"),
    [
        (
            "balance",
            (
                "0.01",
                "3100",
                "2026-01-14",
                "",
                "0.02",
                "500 500.01, 1000",
                "500 500.01",
            ),
            {
                "largest_error": "0.02",
                "check_masses": [{"mass": "500", "read": "500.01"}],
            },
        ),
        (
            "oven",
            ("2026-01-14", "", "110", "109.5 110.5 111"),
            {
                "set_temperature_c": "110",
                "measured_temperatures_c": ["109.5", "110.5", "111"],
            },
        ),
        (
            "rammer",
            ("", "sector", "2495", "305", "2026-01-14", "", "73.7"),
            {"sector_radius": "73.7", "face_diameter": ""},
        ),
        (
            "pycnometer",
            ("", "2026-01-14", "", "158.41", "656.49 20.1 656.47 20.3"),
            {
                "mass": "158.41",
                "fillings": [
                    {"full": "656.49", "temperature_c": "20.1"},
                    {"full": "656.47", "temperature_c": "20.3"},
                ],
            },
        ),
    ],
)
def test_what_a_check_found_is_asked(
    root: Path, kind: str, answers: tuple[str, ...], found: dict[str, object]
) -> None:
    ran = asked(root, kind, *answers, "", "", "")

    assert ran.status == 0, ran.err
    record = read(root, WHERE[kind])
    made = record["calibrations"][0]  # type: ignore[index]
    assert {name: made[name] for name in found} == found


def test_a_commit_that_is_declined_or_refused_keeps_what_was_typed(
    tmp_path: Path, schemas: dict[str, bytes]
) -> None:
    clone(tmp_path, {**sound(), **schemas})
    known = ["--on", "2026-01-14", "--next-due", "", "--certificate", ""]
    known += ["--set-temperature-c", "", "--id", "O-02"]
    stood = git(tmp_path, "rev-parse", "HEAD")

    one = Person(tmp_path, "new", "oven", *known, "--no-commit")
    assert one.ends() == 0
    assert "Commit it now?" not in one.seen
    (tmp_path / WHERE["oven"]).unlink()

    hook = tmp_path / ".git/hooks/pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\nexit 1\n")
    hook.chmod(0o755)
    one = Person(tmp_path, "new", "oven", *known)
    one.waits_for("Commit it now?")
    one.types("")
    assert one.ends() == 3
    assert "is written but not committed" in one.seen
    assert (tmp_path / WHERE["oven"]).is_file()

    (tmp_path / WHERE["oven"]).unlink()
    assert Person(tmp_path, "new", "oven", *known, "--commit").ends() == 3
    assert (tmp_path / WHERE["oven"]).is_file()
    assert git(tmp_path, "rev-parse", "HEAD") == stood


def test_where_nothing_can_be_committed_nothing_is_offered(
    root: Path,
) -> None:
    known = ["--on", "2026-01-14", "--next-due", "", "--certificate", ""]
    known += ["--set-temperature-c", "", "--id", "O-02"]

    one = Person(root, "new", "oven", *known)

    assert one.ends() == 0
    assert "Commit it now?" not in one.seen


def test_an_option_answers_its_prompt(root: Path) -> None:
    words = ["--readability", "0.01", "--on", "", "--capacity", "9"]
    words += ["--next-due", "", "--certificate", "none", "--largest-error", ""]
    words += ["--check-masses", ""]
    ran = asked(root, "balance", "B-99", words=words)

    assert ran.out == "records/equipment/B-99.yaml\n", ran.err
    assert ran.err.startswith("Id [B-12]:")


def test_an_end_of_input_writes_nothing(root: Path) -> None:
    before = files(root)

    ran = asked(root, "project", "Heron Flats")

    assert ran.status == 1
    assert files(root) == before


def test_every_prompt_has_an_option_of_its_name(root: Path) -> None:
    for each in all_kinds():
        if each.blank is not None:
            text = run("new", each.name, "--help").out
            for ask in each.blank.asks:
                assert f"--{ask.name.replace('_', '-')} " in text


def test_a_test_is_filled_in_and_says_how_finely_to_read(root: Path) -> None:
    words = ["--on", "2026-03-20", "--by", "T07", "--standard", "ASTM D698"]
    run("new", "moisture-density", "--defaults", *words, "--root", root)

    found = read(root, WHERE["moisture-density"])
    equipment = found["equipment"]
    assert isinstance(equipment, dict)
    assert (equipment["mold"], found["mold_mass"]) == ("M-04", "2001")
    assert (found["layers"], found["blows_per_layer"]) == ("3", "25")
    text = (root / WHERE["moisture-density"]).read_text()
    assert "\n# mold_mass: to 1 g or finer (" in text


def test_who_is_at_work_is_known_by_gits_address(root: Path) -> None:
    git(root, "init", "--quiet")
    git(root, "config", "user.name", "A")
    lab = (root / "records/lab.yaml").read_text()
    assert lab.count("T07: {") == 1
    named = lab.replace("T07: {", "T07: {emails: [t07@lab.example], ")
    (root / "records/lab.yaml").write_text(named)
    git(root, "config", "user.email", "T07@lab.example")

    run("new", "moisture-density", "--defaults", "--root", root)

    found = read(root, WHERE["moisture-density"])
    assert found["compacted"]["by"] == "T07"  # type: ignore[index]


def test_a_new_file_is_committed_with_the_schemas_it_needs(tmp_path: Path) -> None:
    clone(tmp_path, sound())
    git(tmp_path, "config", "user.name", "A")
    git(tmp_path, "config", "user.email", "a@lab.example")
    (tmp_path / "other.txt").write_text("mine")
    git(tmp_path, "add", "other.txt")

    words = ["--on", "2026-01-14", "--commit", "--defaults"]
    ran = run("new", "oven", *words, "--root", tmp_path)

    assert ran.out == WHERE["oven"] + "\n", ran.err
    assert git(tmp_path, "status", "--porcelain") == "A  other.txt"
    assert git(tmp_path, "log", "-1", "--format=%s") == "O-02: new oven"


def test_new_writes_the_schemas_that_are_missing(tmp_path: Path) -> None:
    root = write(tmp_path, sound())
    ran = run("new", "oven", *DATED["oven"], "--defaults", "--root", root)

    assert ran.out == WHERE["oven"] + "\n"
    assert (tmp_path / "records/.schema/oven.json").is_file()


def test_schema_writes_what_is_missing_and_then_nothing(tmp_path: Path) -> None:
    root = write(tmp_path, sound())
    first = run("schema", "--root", root)
    names = first.out.splitlines()

    assert sorted(names) == sorted(
        f"records/.schema/{k.name}.json" for k in all_kinds()
    )
    assert all((root / name).is_file() for name in names)
    assert run("schema", "--root", root).out == ""
    (root / names[0]).write_text("{}")
    assert run("schema", "--root", root).out == names[0] + "\n"
    assert run("check", "--root", root).out == ""


@pytest.mark.parametrize("name", ["sample", "moisture-density"])
def test_before_there_is_a_project_nothing_is_asked(name: str, tmp_path: Path) -> None:
    write(tmp_path, {"records/lab.yaml": sound()["records/lab.yaml"]})

    ran = run("new", name, "--root", tmp_path)

    assert ran.status == 2
    assert "No project yet: run `buildsite new project` first." in ran.err
    assert "Project:" not in ran.err


LOG_IN = (
    *("--received-on", "2026-03-09", "--received-by", "T07"),
    *("--condition", "moist, two bags", "--sampled-by", "customer"),
    *("--sampled-on", "2026-03-08", "--place", "pit 1", "--sampling-method", "shovel"),
    *("--soil", "lean clay", "--soil-class", "CL", "--class-basis", "visual"),
    *("--group", "A-6", "--source", "north pit", "--retained-3-4-in", "0"),
    *("--retained-3-8-in", "0.4", "--retained-no-4", "1.3", "--water-content", "8.6"),
    *("--specific-gravity", "2.70", "--gravity-basis", "measured"),
    *("--retained-until", "2027-03-31", "--remarks", "one bag torn"),
)


def test_a_samples_whole_log_in_is_asked_for(root: Path) -> None:
    ran = run("new", "sample", *LOG_IN, "--root", root, "--defaults")

    assert ran.status == 0, ran.err
    tree = read(root, ran.out.strip())
    assert tree["received"] == {
        "on": "2026-03-09",
        "by": "T07",
        "condition": "moist, two bags",
    }
    assert tree["sampled"] == {
        "on": "2026-03-08",
        "by": "customer",
        "method": "shovel",
        "place": "pit 1",
    }
    assert tree["soil"]["class_basis"] == "visual"  # type: ignore[index]
    assert tree["gradation"] == {
        "retained_3_4_in": "0",
        "retained_3_8_in": "0.4",
        "retained_no_4": "1.3",
    }
    assert tree["specific_gravity"] == {"value": "2.70", "basis": "measured"}
    assert (tree["retained_until"], tree["remarks"]) == ("2027-03-31", "one bag torn")


def test_what_nobody_said_of_a_sample_stays_blank(root: Path) -> None:
    ran = run("new", "sample", "--soil-class", "CL", "--root", root, "--defaults")
    text = (root / ran.out.strip()).read_text("utf-8")

    assert "class_basis: , " in text
    assert "sampled: {on: , by: , method: ,\n  place: }" in text
    assert "received: {on: 2" in text  # it comes on the day it is logged in


@pytest.mark.parametrize(
    ("readability", "capacity", "doubted"),
    [("2200", "0.01", True), ("0.01", "2.2", False), ("1", "16", True)],
)
def test_a_capacity_that_goes_with_no_readability_is_doubted(
    root: Path, readability: str, capacity: str, doubted: bool
) -> None:
    answers = (readability, capacity, capacity, "2026-01-14", "", "", "", "", "")
    ran = asked(root, "balance", *answers)

    assert (f"? {capacity} with a readability of {readability}" in ran.err) == doubted


def test_a_paper_lists_the_field_tests_on_file(tmp_path: Path) -> None:
    root = write(tmp_path, dict(sound(("fill",))))
    lift = ("--zone", "bank", "--lift", "1")

    made = [
        run("new", kind, "--root", root, "--defaults", *told).out.strip()
        for kind, told in (
            ("lift-acceptance", lift),
            ("daily-report", ("--on", "2026-03-18")),
        )
    ]
    tests, day = ((root / name).read_text("utf-8") for name in made)

    assert "\ntests: [ML-F0001, ML-F0002, ML-F0003]\n" in tests
    assert "\ntests: [ML-F0004, ML-F0005, ML-F0006]\n" in day
    assert "\ninspector: T07\n" in day
