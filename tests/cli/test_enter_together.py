"""Two people and one record: each reading is committed in the name of who typed it."""

import json
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from buildsite.entering.record_store import open_for_readings
from buildsite.files import write_whole
from buildsite.record.source import read_source
from tests.cli.running import run
from tests.cli.test_enter import DAY, ID, clean, log, piped, points, refuse
from tests.clones import git
from tests.entering.session import SEPARATE, begun
from tests.entering.terminal import Person

SLIP = Path(".git/buildsite-enter") / f"{SEPARATE.replace('/', '+')}.json"
T07_TYPED = {"mold_and_wet_soil": "4002", "container": "29"}


def cut_off(lab: Path) -> None:
    """T07 types two readings, and the power goes."""
    person = Person(lab, "enter", ID, DAY, "--by", "T07")
    person.waits_for("Mold and wet soil")
    person.types("4002")
    person.waits_for("Container no.")
    person.types("29")
    person.waits_for("Empty container")
    person.kills()
    assert points(lab)[2] == T07_TYPED


def uncommitted(lab: Path) -> None:
    """T07 types two readings and commits nothing."""
    assert piped(lab, ["4002", "29"], "--by", "T07", "--no-commit").status == 0
    assert points(lab)[2] == T07_TYPED


def edit(lab: Path, old: str, new: str) -> None:
    """Change the file, as with an editor."""
    text = (lab / SEPARATE).read_text()
    assert text.count(old) == 1
    (lab / SEPARATE).write_text(text.replace(old, new))


def commits(lab: Path) -> list[tuple[str, str]]:
    """Return of each commit but the first who entered it, and why, the oldest first."""
    keys = "%(trailers:key=Entered-by,valueonly)%(trailers:key=Reason,valueonly)"
    bodies = git(lab, "log", "--reverse", "--skip=0", f"--format={keys}%x00")
    pairs = [body.split("\n") for body in bodies.split("\0")]
    found = [[line for line in pair if line] for pair in pairs]
    return [(pair[0], pair[1]) for pair in found if pair]


def point_3(lab: Path, at: str) -> dict[str, str]:
    """Return point 3 as it is at a commit."""
    data = git(lab, "show", f"{at}:{SEPARATE}").encode()
    third: dict[str, str] = read_source(SEPARATE, data).tree["points"][2]
    return third


EARLIER = ("T07", "readings of an earlier session")


@pytest.mark.parametrize("left", [cut_off, uncommitted])
def test_a_colleagues_edit_takes_no_reading_of_another(
    lab: Path, left: Callable[[Path], None]
) -> None:
    left(lab)
    edit(lab, "container_mass: 51.64", "container_mass: 51.46")

    done = piped(lab, ["T04", "weighed again", "52.87"], "--by", "T04")

    assert done.status == 0
    assert "point 2, container_mass: 51.64 → 51.46" in done.err
    assert commits(lab) == [
        EARLIER,
        ("T04", "weighed again"),
        ("T04", "readings at the bench"),
    ]
    assert point_3(lab, "HEAD~2") == T07_TYPED
    assert "51.64" in git(lab, "show", f"HEAD~2:{SEPARATE}")
    assert clean(lab)


@pytest.mark.parametrize("left", [cut_off, uncommitted])
def test_a_reading_that_another_altered_has_both_names(
    lab: Path, left: Callable[[Path], None]
) -> None:
    left(lab)
    edit(lab, "mold_and_wet_soil: 4002", "mold_and_wet_soil: 4003")

    done = piped(lab, ["T04", "the display said 4003", "/"], "--by", "E02")

    assert "mold_and_wet_soil: 4002 (T07) → 4003" in done.err
    assert commits(lab) == [EARLIER, ("T04", "the display said 4003")]
    assert point_3(lab, "HEAD~1") == T07_TYPED
    assert point_3(lab, "HEAD") == {**T07_TYPED, "mold_and_wet_soil": "4003"}
    assert git(lab, "log", "-1", "--format=%B") == (
        "ML-102: enter point 3\n\n"
        "Altered: point 3, mold_and_wet_soil: 4002 (T07) → 4003 (T04)\n"
        "Entered-by: T04\nReason: the display said 4003"
    )
    assert clean(lab)


def test_nor_does_a_reading_that_another_took_away_vanish(lab: Path) -> None:
    cut_off(lab)
    (lab / SEPARATE).write_text(begun(2))

    done = piped(lab, ["T04", "typed into the wrong test", "/"], "--by", "E02")

    assert "4002" in done.err
    assert commits(lab) == [EARLIER, ("T04", "typed into the wrong test")]
    assert point_3(lab, "HEAD~1") == T07_TYPED
    assert (lab / SEPARATE).read_text() == begun(2)
    assert "(T07) → not stated" in git(lab, "log", "-1", "--format=%B")


def test_whose_edit_nobody_says_stays_in_the_file_above_what_was_typed(
    lab: Path,
) -> None:
    cut_off(lab)
    edit(lab, "mold_and_wet_soil: 4002", "mold_and_wet_soil: 4003")

    piped(lab, ["", "52.87"], "--by", "T04")

    assert commits(lab) == [EARLIER]
    assert point_3(lab, "HEAD") == T07_TYPED
    assert points(lab)[2]["mold_and_wet_soil"] == "4003"

    done = piped(lab, ["E02", "the display said 4003", "/"], "--by", "T07")

    assert "4002 → 4003" in done.err
    assert commits(lab)[1:] == [
        ("E02", "the display said 4003"),
        ("T04", "readings of an earlier session"),
    ]
    assert points(lab)[2]["container_mass"] == "52.87"
    assert clean(lab)


def test_readings_of_two_people_are_two_commits(lab: Path) -> None:
    uncommitted(lab)
    piped(lab, ["52.87"], "--by", "T04", "--no-commit")
    assert log(lab) == ["first"]

    piped(lab, ["/"], "--by", "E02")

    assert commits(lab) == [EARLIER, ("T04", EARLIER[1])]
    assert point_3(lab, "HEAD~1") == T07_TYPED
    assert clean(lab)


def test_a_comment_of_another_is_not_committed_as_ones_own(lab: Path) -> None:
    cut_off(lab)
    edit(lab, "# A bench sheet", "# The bench sheet")

    done = piped(lab, ["", "/"], "--by", "T04")

    assert "only comments or the layout of the file" in done.err
    assert commits(lab) == [EARLIER]


def test_a_record_that_was_never_committed_is_begun_by_who_typed_first(
    lab: Path,
) -> None:
    git(lab, "rm", "--quiet", "--cached", SEPARATE)
    git(lab, "commit", "--quiet", "--message=not yet")
    (lab / SEPARATE).write_text(begun(2, pan=True))
    refuse(lab)
    piped(lab, ["", "", "", "4002", "29"], "--by", "T07")
    (lab / ".git/hooks/pre-commit").unlink()
    edit(lab, "mold_and_wet_soil: 4002", "mold_and_wet_soil: 4003")

    done = piped(lab, ["T04", "the display said 4003", "/"], "--by", "T04")

    assert "project" not in done.err  # what `new` wrote is no reading
    assert commits(lab) == [EARLIER, ("T04", "the display said 4003")]
    assert log(lab)[1] == "ML-102: new record, points 1 to 3"
    assert point_3(lab, "HEAD~1") == T07_TYPED
    assert "4002 (T07) → 4003 (T04)" in git(lab, "log", "-1", "--format=%B")


KILL = '#!/bin/sh\nkill -9 "$(cut -d" " -f4 /proc/$PPID/stat)"\n'


@pytest.mark.parametrize("hook", ["pre-commit", "post-commit"])
def test_a_session_that_is_killed_at_a_commit_loses_nothing(
    lab: Path, hook: str
) -> None:
    cut_off(lab)
    edit(lab, "mold_and_wet_soil: 4002", "mold_and_wet_soil: 4003")
    edited = (lab / SEPARATE).read_text()
    path = lab / ".git/hooks" / hook
    path.parent.mkdir(exist_ok=True)
    path.write_text(KILL)
    path.chmod(0o755)
    person = Person(lab, "enter", ID, DAY, "--by", "T04")
    assert person.ends() == -9
    path.unlink()
    (lab / ".git/index.lock").unlink(missing_ok=True)

    done = piped(lab, ["T04", "the display said 4003", "/"], "--by", "T04")

    assert "was being written when an earlier session broke off" in done.err
    assert commits(lab) == [EARLIER, ("T04", "the display said 4003")]
    assert point_3(lab, "HEAD~1") == T07_TYPED
    assert (lab / SEPARATE).read_text() == edited
    assert clean(lab)


def test_the_last_reading_is_there_where_the_file_was_not_yet_written(
    lab: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    uncommitted(lab)
    was = (lab / SEPARATE).read_bytes()
    data = was.replace(b'container: "29"', b'container: "29", container_mass: 52.87')
    store = open_for_readings(lab, SEPARATE, committing=True, signed=False)

    def cut(path: Path, written: bytes) -> None:
        if path == store.path:
            raise SystemExit
        write_whole(path, written)

    with monkeypatch.context() as power:
        power.setattr("buildsite.entering.record_store.write_whole", cut)
        with pytest.raises(SystemExit):
            store.save(was, data, "T07", "2026-03-10")
    assert (lab / SEPARATE).read_bytes() == was

    piped(lab, ["/"], "--by", "T04")

    assert commits(lab) == [EARLIER]
    assert (lab / SEPARATE).read_bytes() == data
    assert clean(lab)


def test_a_single_reading_taken_away_by_hand_is_not_put_back(lab: Path) -> None:
    piped(lab, ["4002"], "--by", "T07", "--no-commit")
    (lab / SEPARATE).write_text(begun(2))

    piped(lab, ["", "/"], "--by", "T04")

    assert commits(lab) == [EARLIER]
    assert (lab / SEPARATE).read_text() == begun(2)


def test_what_a_pull_brings_in_between_is_not_taken_back(lab: Path) -> None:
    cut_off(lab)
    git(lab, "stash", "--quiet")
    edit(lab, "mold_and_wet_soil: 3854", "mold_and_wet_soil: 3855")
    git(lab, "commit", "--quiet", "--all", "--message=pulled")
    git(lab, "stash", "pop", "--quiet")
    edit(lab, "mold_and_wet_soil: 4002", "mold_and_wet_soil: 4003")

    done = piped(lab, ["T04", "the display said 4003", "/"], "--by", "T04")

    assert done.status == 0
    assert "3855" not in done.err
    assert commits(lab) == [EARLIER, ("T04", "the display said 4003")]
    assert point_3(lab, "HEAD~1") == T07_TYPED
    assert "3855" in git(lab, "show", f"HEAD~1:{SEPARATE}")
    assert points(lab)[0]["mold_and_wet_soil"] == "3855"
    assert clean(lab)


def test_a_reading_committed_otherwise_meanwhile_is_not_overwritten(lab: Path) -> None:
    cut_off(lab)
    edit(lab, "mold_and_wet_soil: 4002", "mold_and_wet_soil: 4003")
    git(lab, "commit", "--quiet", "--all", "--message=by hand")

    done = piped(lab, ["52.87"], "--by", "T04")

    assert "Who made them?" not in done.err
    assert commits(lab) == [("T04", "readings at the bench")]
    assert points(lab)[2]["mold_and_wet_soil"] == "4003"


def test_a_slip_of_an_earlier_version_is_understood_or_told(lab: Path) -> None:
    cut_off(lab)
    digest = sha256((lab / SEPARATE).read_bytes()).hexdigest()
    (lab / SLIP).write_text(json.dumps({"by": "T07", "states": ["", digest]}))
    piped(lab, ["/"], "--by", "T04")
    assert commits(lab) == [EARLIER]

    uncommitted_3 = (lab / SEPARATE).read_text().replace("4002", "4003")
    (lab / SEPARATE).write_text(uncommitted_3)
    (lab / SLIP).write_text(json.dumps({"by": "T07", "states": ["", "1" * 64]}))

    assert f"readings entered by T07; run `buildsite enter {ID}`" in (
        run("commit", "--why", "mine", "--root", lab).err
    )
    done = piped(lab, [], "--by", "T04")
    assert "T07 entered some of them with an earlier version." in done.err
    assert commits(lab) == [EARLIER]


def test_commit_leaves_to_enter_what_enter_was_typed_without_a_commit(
    lab: Path,
) -> None:
    uncommitted(lab)
    edit(lab, "container_mass: 51.64", "container_mass: 51.46")

    ran = run("commit", "--why", "mine", "--root", lab)

    assert f"readings entered by T07; run `buildsite enter {ID}`" in ran.err
    assert log(lab) == ["first"]
