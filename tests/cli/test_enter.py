"""`enter` as a person uses it: at a terminal, by a pipe, and when the line is lost."""

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from buildsite.record.source import read_source
from tests.archives import sound
from tests.cli.running import Ran, run
from tests.clones import git
from tests.entering.session import OVEN, SEPARATE, begun
from tests.entering.terminal import Person

ID = "ML-102"
DAY = "--on=2026-03-10"


def piped(lab: Path, answers: Sequence[str], *words: str) -> Ran:
    text = "".join(f"{answer}\n" for answer in answers)
    return run("enter", ID, DAY, "--root", lab, *words, stdin=text.encode())


def points(lab: Path) -> list[dict[str, str]]:
    source = read_source(SEPARATE, (lab / SEPARATE).read_bytes())
    assert source.whole
    found: list[dict[str, str]] = source.tree["points"]
    return found


def log(lab: Path) -> list[str]:
    return git(lab, "log", "--format=%s").splitlines()


def clean(lab: Path) -> bool:
    return git(lab, "status", "--porcelain") == ""


def test_answers_come_through_a_pipe_and_are_committed(lab: Path) -> None:
    done = piped(lab, ["4002", "29", "52.87", "195.96"], "--by", "T07")

    assert done.status == 0
    assert done.out == ""  # talk is no result
    assert points(lab)[2]["container_and_wet"] == "195.96"
    assert git(lab, "log", "-1", "--format=%B") == (
        "ML-102: enter point 3\n\nEntered-by: T07\nReason: readings at the bench"
    )
    assert clean(lab)


def test_the_staff_code_is_asked_for_once(lab: Path) -> None:
    done = piped(lab, ["T07", "4002"])

    assert done.err.count("Your staff code:") == 1
    assert points(lab)[2] == {"mold_and_wet_soil": "4002"}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--by", "X99"), "X99 is not a staff code in lab.yaml."),
        (("--by", "T07", "--on=2020-01-01"), "no authority to test on 2020-01-01"),
    ],
)
def test_who_has_no_authority_that_day_enters_nothing(
    lab: Path, words: tuple[str, ...], says: str
) -> None:
    done = piped(lab, ["4002"], *words)

    assert done.status == 1
    assert says in done.err
    assert clean(lab)


def test_a_day_that_has_not_come_is_refused(lab: Path) -> None:
    done = piped(lab, ["4002"], "--by", "T07", "--on", "2999-01-01")
    assert done.status == 2
    assert "--on 2999-01-01 is in the future: give today or earlier." in done.err
    assert clean(lab)


def test_a_withdrawn_test_is_closed(lab: Path) -> None:
    text = begun(2).replace("in-progress", "withdrawn")
    (lab / SEPARATE).write_text(text)

    assert piped(lab, ["4002"], "--by", "T07").status == 1


def test_what_stood_is_changed_with_who_and_why(lab: Path) -> None:
    answers = ["p2", "3940"]
    done = piped(lab, answers, "--by", "T07", "--reason", "read the wrong line")

    assert done.status == 0
    assert git(lab, "log", "-1", "--format=%B") == (
        "ML-102: point 2, mold and wet soil: 3939 to 3940 g\n\n"
        "Entered-by: T07\nReason: read the wrong line"
    )


def test_without_commit_the_readings_are_in_the_file_alone(lab: Path) -> None:
    done = piped(lab, ["4002"], "--by", "T07", "--no-commit")

    assert done.status == 0
    assert log(lab) == ["first"]
    assert points(lab)[2] == {"mold_and_wet_soil": "4002"}


def test_an_archive_without_git_says_so_before_anything_is_typed(
    tmp_path: Path,
) -> None:
    for name, data in {**sound(), SEPARATE: begun(2).encode()}.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)

    done = piped(tmp_path, ["4002"], "--by", "T07")

    assert done.status == 3
    assert points(tmp_path)[2:] == []


def test_others_uncommitted_changes_are_not_committed_as_ones_own(lab: Path) -> None:
    text = begun(2).replace("container_mass: 51.64", "container_mass: 51.46")
    (lab / SEPARATE).write_text(text)

    done = piped(lab, ["", "4002"], "--by", "T07")

    assert "point 2, container_mass: 51.64 → 51.46" in done.err
    assert log(lab) == ["first"]
    assert points(lab)[2] == {"mold_and_wet_soil": "4002"}


@pytest.fixture
def edited(lab: Path) -> Path:
    """The same clone, with a reading that somebody changed in an editor."""
    text = begun(2).replace("container_mass: 51.64", "container_mass: 51.46")
    (lab / SEPARATE).write_text(text)
    return lab


@pytest.mark.parametrize(
    "leaves",
    [
        lambda person: person.presses("\x04"),
        lambda person: person.presses("\x03"),
        lambda person: person.types("/"),
        lambda person: person.types("T04") or person.presses("\x04"),
        lambda person: person.types("T04") or person.types("/"),
    ],
    ids=["Ctrl-D", "Ctrl-C", "slash", "Ctrl-D at why", "slash at why"],
)
def test_leaving_at_whose_they_are_commits_nothing(
    edited: Path, leaves: Callable[[Person], None]
) -> None:
    before = (edited / SEPARATE).read_bytes()
    person = Person(edited, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Who made them?")
    leaves(person)

    assert person.ends() == 0
    assert "nothing entered. The changes stay uncommitted." in person.seen
    assert log(edited) == ["first"]
    assert (edited / SEPARATE).read_bytes() == before


def test_nor_does_the_end_of_the_input_or_a_lost_line(edited: Path) -> None:
    piped(edited, [], "--by", "T07")
    assert log(edited) == ["first"]

    person = Person(edited, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Who made them?")
    person.hangs_up()
    assert log(edited) == ["first"]


def test_the_next_session_still_knows_which_changes_are_of_others(
    edited: Path,
) -> None:
    piped(edited, ["", "4002"], "--by", "T07")

    again = piped(edited, ["", "52.87"], "--by", "T07")
    assert "point 2, container_mass: 51.64 → 51.46" in again.err
    assert "point 3" not in again.err.partition("They will not be committed")[0]
    assert log(edited) == ["first"]

    done = piped(edited, ["T04", "weighed again", "195.96"], "--by", "T04")
    assert done.status == 0
    assert [
        git(
            edited, "log", "-1", f"--skip={i}", "--format=%s %(trailers:key=Entered-by)"
        )
        for i in (2, 1, 0)
    ] == [
        "ML-102: enter point 2 Entered-by: T04",
        "ML-102: enter point 3 Entered-by: T07",
        "ML-102: enter point 3 Entered-by: T04",
    ]
    assert points(edited)[2] == {
        "mold_and_wet_soil": "4002",
        "container_mass": "52.87",
        "container_and_wet": "195.96",
    }
    assert clean(edited)


def test_a_staff_code_given_for_them_that_nobody_has_commits_nothing(
    edited: Path,
) -> None:
    words = ("--by", "T07", "--whose", "X99", "--whose-reason", "weighed again")
    done = piped(edited, [], *words)

    assert "'X99' is not a staff code" in done.err
    assert log(edited) == ["first"]


def test_they_are_committed_as_the_one_whose_they_are(lab: Path) -> None:
    text = begun(2).replace("container_mass: 51.64", "container_mass: 51.46")
    (lab / SEPARATE).write_text(text)

    done = piped(
        lab,
        ["4002"],
        *("--by", "T07", "--whose", "T04", "--whose-reason", "container weighed again"),
    )

    assert done.status == 0
    assert "Entered-by: T04" in git(lab, "log", "-1", "--skip=1", "--format=%B")
    assert "Entered-by: T07" in git(lab, "log", "-1", "--format=%B")
    assert clean(lab)


def test_a_file_that_another_changes_meanwhile_is_not_overwritten(lab: Path) -> None:
    person = Person(lab, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Mold and wet soil")
    (lab / SEPARATE).write_text(begun(2) + "remarks: by another\n")
    person.types("4002")

    assert person.ends() == 3
    assert "changed by somebody else" in person.seen
    assert (lab / SEPARATE).read_text() == begun(2) + "remarks: by another\n"


def test_two_do_not_enter_readings_in_one_test_at_once(lab: Path) -> None:
    person = Person(lab, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Mold and wet soil")
    person.types("4002")
    person.waits_for("Container no.")

    second = piped(lab, ["29"], "--by", "T04")
    assert second.status == 3
    assert "Somebody else is entering readings in ML-102 in this folder." in second.err

    person.types("29")
    person.waits_for("Empty container")
    person.types("/")
    assert person.ends() == 0
    assert log(lab) == ["ML-102: enter point 3", "first"]
    assert piped(lab, ["52.87"], "--by", "T04").status == 0


def refuse(lab: Path) -> None:
    """Let git refuse every commit."""
    hook = lab / ".git/hooks/pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\necho not today >&2\nexit 1\n")
    hook.chmod(0o755)


def test_a_commit_that_a_hook_refuses_leaves_the_readings_in_the_file(
    lab: Path,
) -> None:
    refuse(lab)

    done = piped(lab, ["4002"], "--by", "T07")

    assert "not today" in done.err
    assert "The readings are saved, not committed. Correct that, then" in done.err
    assert "ML-102: saved, not committed. Still blank:" in done.err
    assert done.err.count("not today") == 1
    assert done.status == 3
    assert points(lab)[2] == {"mold_and_wet_soil": "4002"}


def test_a_change_that_git_refuses_leaves_what_stood(lab: Path) -> None:
    refuse(lab)

    answers = ["p2", "3940", "read the wrong line"]
    done = piped(lab, answers, "--by", "T07")

    assert "not committed" in done.err
    assert done.status == 3
    assert points(lab)[1]["mold_and_wet_soil"] == "3939"
    assert clean(lab)


def test_a_clone_in_which_git_knows_nobody_says_so_before_anything_is_typed(
    lab: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(lab))
    git(lab, "config", "--unset", "user.name")
    git(lab, "config", "--unset", "user.email")

    done = piped(lab, ["4002"], "--by", "T07")

    assert done.status == 3
    assert "Git doesn't know who commits here." in done.err
    assert points(lab)[2:] == []


def test_nor_does_one_go_on_top_of_what_it_refused(lab: Path) -> None:
    refuse(lab)

    answers = ["4002", "p 2", "3940", "read the wrong line"]
    done = piped(lab, answers, "--by", "T07")

    assert done.err.count("not today") == 1
    assert points(lab)[1]["mold_and_wet_soil"] == "3939"
    assert points(lab)[2] == {"mold_and_wet_soil": "4002"}


def test_at_a_terminal_one_stops_and_goes_on(lab: Path) -> None:
    person = Person(lab, "enter", ID, DAY)
    person.waits_for("Your staff code: ")
    person.types("T07")
    person.waits_for("Point 3: Mold and wet soil (to nearest 1 g): ")
    person.types("4002")
    person.waits_for("Container no.")
    person.types("/")
    assert person.ends() == 0

    person = Person(lab, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Point 3: Empty container")
    person.types("-")
    person.waits_for("Container no.")
    person.types("29")
    person.waits_for("Point 3, container 29: Empty container")
    person.types("52.87")
    person.waits_for("Container and wet soil")
    person.types("stop")
    assert person.ends() == 0

    assert points(lab)[2] == {
        "mold_and_wet_soil": "4002",
        "container": "29",
        "container_mass": "52.87",
    }
    assert log(lab) == ["ML-102: enter point 3"] * 2 + ["first"]
    assert clean(lab)


def test_a_wrong_code_is_asked_for_again_and_who_git_knows_is_offered(
    lab: Path,
) -> None:
    file = lab / "records/lab.yaml"
    text = file.read_text().replace("T04: {", "T04: {emails: [a@lab.example], ")
    file.write_text(text)
    person = Person(lab, "enter", ID, DAY)
    person.waits_for("Your staff code [T04]: ")
    person.types("T99")
    person.waits_for("! 'T99' is not a staff code: ")
    person.waits_for("Your staff code [T04]: ")
    person.types("t07")
    person.waits_for("Point 3: Mold and wet soil (to nearest 1 g): ")
    person.types("/")
    assert person.ends() == 0


@pytest.mark.parametrize("key", ["\x03", "\x04"], ids=["Ctrl-C", "Ctrl-D"])
def test_a_key_that_ends_it_loses_nothing(lab: Path, key: str) -> None:
    person = Person(lab, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Mold and wet soil")
    person.types("4002")
    person.waits_for("Container no.")
    person.presses(key)

    assert person.ends() == 0
    assert log(lab)[0] == "ML-102: enter point 3"
    assert clean(lab)


def test_a_line_that_is_lost_loses_nothing(lab: Path) -> None:
    person = Person(lab, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Mold and wet soil")
    person.types("4002")
    person.waits_for("Container no.")
    person.hangs_up()

    assert points(lab)[2] == {"mold_and_wet_soil": "4002"}
    assert log(lab)[0] == "ML-102: enter point 3"
    assert clean(lab)


def test_a_doubted_reading_on_a_lost_line_is_named_by_the_next_session(
    lab: Path,
) -> None:
    person = Person(lab, "enter", ID, "--by", "T07", DAY)
    person.waits_for("Point 3: Mold and wet soil")
    person.types("4500")
    person.waits_for("Reread and retype")
    person.hangs_up()
    assert len(points(lab)) == 2

    said = " ".join(piped(lab, [], "--by", "T04").err.split())
    assert (
        f"Not kept when {ID} was left: point 3, mold and wet soil 4500, which waited "
        "to be read again (typed by T07). Enter it again." in said
    )
    assert "Not kept" not in piped(lab, [], "--by", "T04").err


@pytest.mark.parametrize("key", ["\x03", "\x04"])
def test_and_on_leaving_by_a_key(lab: Path, key: str) -> None:
    person = Person(lab, "enter", ID, "--by", "T07", DAY)
    person.waits_for("Point 3: Mold and wet soil")
    person.types("4500")
    person.waits_for("Reread and retype")
    person.presses(key)
    person.waits_for("Not kept: point 3, mold and wet soil 4500")
    person.ends()


def test_after_a_power_cut_the_next_session_knows_its_own_readings(lab: Path) -> None:
    person = Person(lab, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Mold and wet soil")
    person.types("4002")
    person.waits_for("Container no.")
    person.kills()
    assert points(lab)[2] == {"mold_and_wet_soil": "4002"}
    assert log(lab) == ["first"]

    done = piped(lab, ["", "52.87"], "--by", "T04")

    assert "An earlier session was interrupted" in done.err
    assert git(lab, "log", "-1", "--skip=1", "--format=%(trailers)") == (
        "Entered-by: T07\nReason: readings of an earlier session"
    )
    assert "Entered-by: T04" in git(lab, "log", "-1", "--format=%B")
    assert clean(lab)


@pytest.mark.parametrize(
    "term", [{"TERM": "dumb"}, {"TERM": "xterm", "PYTHONUTF8": "0", "LC_ALL": "C"}]
)
def test_a_narrow_old_screen_shows_it_all_in_plain_letters(
    lab: Path, term: dict[str, str]
) -> None:
    (lab / SEPARATE).write_text(begun(4) + OVEN)
    git(lab, "commit", "--quiet", "--all", "--message=oven")
    more = {**term, "PYTHONIOENCODING": "ascii"} if "LC_ALL" in term else term
    person = Person(lab, "enter", ID, DAY, "--by", "T07", columns=40, **more)
    for point, mass in enumerate(("187.19", "190.07", "180.44"), start=1):
        person.waits_for(f"Point {point}, container")
        person.waits_for("nearest 0.1 g): ")
        person.types(mass)
    person.waits_for("Point 4, container")
    person.waits_for("nearest 0.1 g): ")
    person.types("/")
    assert person.ends() == 0

    assert person.seen.isascii()
    lines = person.seen.replace("\r\n", "\n").split("\n")
    assert [
        line for line in lines if len(line) > 40 + len("187.19")
    ] == []  # and what was typed
    assert any(line.strip().startswith("+---") for line in lines)
    assert "\x1b" not in person.seen  # no screen is taken over


def test_a_reading_of_a_point_after_a_blank_one_is_refused_with_words(
    lab: Path,
) -> None:
    done = piped(lab, [*("",) * 9, "195.96", "p 3", "4002"], "--by", "T07")

    assert done.status == 0
    assert "! point 3 comes first: it is blank." in done.err
    assert points(lab)[2] == {"mold_and_wet_soil": "4002"}
    assert clean(lab)
