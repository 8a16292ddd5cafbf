"""Git shows what is computed, and never blends two people's readings."""

import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from buildsite.history.clone_setup import ATTRIBUTES, DRIVER, drivers_named, set_drivers
from tests.archives import Files, changed, sound
from tests.cli.running import run
from tests.clones import clone, git, write

RECORD = "marsh-lane/tests/ML-101"
FILE = f"records/{RECORD}.yaml"
PROGRAM = shlex.join([sys.executable, "-c", "from buildsite.cli import main; main()"])
WET = {f"{RECORD}.yaml": [["mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.66"]]}
HOTTER = {f"{RECORD}.yaml": [["temperature_c: 110", "temperature_c: 112"]]}
AS = ("-c", "user.name=A", "-c", "user.email=a@lab.example")
SHOWN = "# computed with the current"


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    clone(tmp_path, {**sound(), ".gitattributes": f"{ATTRIBUTES}\n".encode()})
    set_drivers(tmp_path, PROGRAM)
    return tmp_path


def of_test(files: Files) -> Files:
    return {FILE: files[FILE]}


def commit(root: Path, files: Files, message: str) -> None:
    write(root, files)
    git(root, "add", "--all")
    git(root, "commit", "--quiet", f"--message={message}")


def branches(
    root: Path, ours: Files, theirs: Files
) -> subprocess.CompletedProcess[str]:
    """Edit a record on two branches and merge one into the other."""
    git(root, "branch", "other")
    commit(root, ours, "here")
    git(root, "checkout", "--quiet", "other")
    commit(root, theirs, "there")
    git(root, "checkout", "--quiet", "main")
    return subprocess.run(
        ["git", "-C", str(root), *AS, "merge", "--quiet", "--no-edit", "other"],
        capture_output=True,
        text=True,
        check=False,
    )


def test_git_diff_shows_the_reading_and_what_it_did(archive: Path) -> None:
    write(archive, of_test(changed(WET)))

    lines = git(archive, "diff").splitlines()

    taken = [line for line in lines if line.startswith("-")]
    put = [line for line in lines if line.startswith("+")]
    assert any("mold_and_wet_soil: 8.64" in line for line in taken)
    assert any("mold_and_wet_soil: 8.66" in line for line in put)
    for side in (taken, put):
        assert any("#   maximum dry density: " in line for line in side)
        assert any("#   point 3: moisture content " in line for line in side)
    assert not any("#   point 1: " in line for line in [*taken, *put])
    assert any(line.startswith(f" {SHOWN}") for line in lines)


def test_git_log_shows_it_of_committed_edits_too(archive: Path) -> None:
    commit(archive, of_test(changed(WET)), "Read point 3 again")

    lines = git(archive, "log", "-1", "--patch").splitlines()

    assert any(line.startswith("+#   point 3: ") for line in lines)


def test_a_patch_stays_as_it_is(archive: Path) -> None:
    commit(archive, of_test(changed(WET)), "Read point 3 again")

    patch = git(archive, "format-patch", "-1", "--stdout")

    assert SHOWN not in patch


def test_a_record_that_can_not_be_read_is_shown_with_the_reason(archive: Path) -> None:
    write(archive, {FILE: b"format: 1\nkind: [\n"})

    lines = git(archive, "diff").splitlines()

    assert "+kind: [" in lines
    assert any(line.startswith("+# not computed: ") for line in lines)


def test_the_file_stands_first_unchanged(archive: Path) -> None:
    for name in sorted(sound()):
        ran = run("show", "--textconv", archive / name)

        assert ran.status == 0
        assert ran.out.encode().startswith(sound()[name])


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xfe", b"format: 1", b"- a\n", b"kind: mold\nid: X\n"]
)
def test_whatever_a_file_holds_it_is_shown(tmp_path: Path, data: bytes) -> None:
    path = write(tmp_path, {"odd.yaml": data}) / "odd.yaml"

    done = subprocess.run(
        [*shlex.split(PROGRAM), "show", "--textconv", path],
        cwd=tmp_path,
        capture_output=True,
        check=False,
    )

    assert done.returncode == 0
    assert done.stdout.startswith(data)


def test_a_file_that_is_not_there_is_no_failure(tmp_path: Path) -> None:
    ran = run("show", "--textconv", tmp_path / "gone.yaml")

    assert ran.status == 0
    assert ran.out.startswith("# not read: ")


def test_two_edits_of_one_record_are_never_blended(archive: Path) -> None:
    # Far enough apart for git's own merge to join them without a word: see below.
    done = branches(archive, of_test(changed(WET)), of_test(changed(HOTTER)))

    text = (archive / FILE).read_text("utf-8")
    assert done.returncode == 1
    assert git(archive, "status", "--porcelain") == f"UU {FILE}"
    assert text.count("<<<<<<< ") == text.count(">>>>>>> ") == 1
    assert "mold_and_wet_soil: 8.66" in text
    assert "temperature_c: 112" in text
    assert "conflict" in run("check", archive / FILE).out


def test_without_the_driver_git_blends_them(tmp_path: Path) -> None:
    # The control: this is what the driver is for.
    clone(tmp_path, sound())

    done = branches(tmp_path, of_test(changed(WET)), of_test(changed(HOTTER)))

    text = (tmp_path / FILE).read_text("utf-8")
    assert done.returncode == 0
    assert "mold_and_wet_soil: 8.66" in text
    assert "temperature_c: 112" in text


def test_an_edit_of_one_side_alone_is_taken(archive: Path) -> None:
    other = "records/marsh-lane/tests/ML-102.yaml"
    theirs = {
        other: sound()[other].replace(b"temperature_c: 110", b"temperature_c: 112")
    }

    done = branches(archive, of_test(changed(WET)), theirs)

    assert done.returncode == 0, done.stderr
    assert (archive / FILE).read_bytes() == changed(WET)[FILE]
    assert (archive / other).read_bytes() == theirs[other]


def test_the_same_edit_on_both_sides_is_no_conflict(archive: Path) -> None:
    done = branches(
        archive,
        of_test(changed(WET)),
        {**of_test(changed(WET)), "note.txt": b"so that the commits differ\n"},
    )

    assert done.returncode == 0, done.stderr


def test_one_side_alone_is_taken_by_the_driver_itself(tmp_path: Path) -> None:
    write(tmp_path, {"o": b"a\n", "a": b"a\n", "b": b"b\n"})

    ran = run("merge-record", *(tmp_path / name for name in "oab"), "7", "x.yaml")

    assert ran.status == 0
    assert (tmp_path / "a").read_bytes() == b"b\n"


def test_a_clone_is_set_up_by_one_command(tmp_path: Path) -> None:
    clone(tmp_path, sound())

    ran = run("git-setup", "--program", "some program", "--root", tmp_path)

    assert ran.status == 0
    assert ATTRIBUTES in ran.err
    for name, value in (
        (f"diff.{DRIVER}.textconv", "some program show --textconv"),
        (f"diff.{DRIVER}.xfuncname", "^[a-z_]+:.*$"),
        (f"merge.{DRIVER}.driver", "some program merge-record %O %A %B %L %P"),
    ):
        assert git(tmp_path, "config", "--local", name) == value
    assert f"diff.{DRIVER}.cachetextconv" not in git(tmp_path, "config", "--list")
    write(tmp_path, {".gitattributes": f"{ATTRIBUTES}\n".encode()})
    assert drivers_named(tmp_path)
    assert run("git-setup", "--root", tmp_path).err == ""


def test_this_repository_gives_its_records_to_the_drivers() -> None:
    text = (Path(__file__).parents[1] / ".gitattributes").read_text("utf-8")

    assert ATTRIBUTES.split() in [line.split() for line in text.splitlines()]


def test_a_folder_that_is_no_clone_is_refused(tmp_path: Path) -> None:
    write(tmp_path, sound())

    assert run("git-setup", "--root", tmp_path).status == 3
