"""`init`: an archive that passes `check`, builds, verifies, and overwrites nothing."""

import os
import subprocess
from pathlib import Path

import pytest
import yaml

from buildsite.cli.init import PROMPTS
from buildsite.errors import EnvironmentFault
from buildsite.history.clone_setup import drivers_named
from buildsite.record.source import read_source
from tests.cli.running import Ran, run
from tests.clones import git

WHO = ("--git-name", "A", "--git-email", "a@lab.example")


@pytest.fixture(autouse=True)
def nobody(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine whose git knows nobody."""
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))


def begin(folder: Path, *words: str) -> Ran:
    return run("init", folder, "--defaults", *WHO, *words)


def lab(root: Path) -> dict[str, object]:
    data = (root / "records/lab.yaml").read_bytes()
    source = read_source("records/lab.yaml", data)
    assert source.faults == ()
    return source.tree


def held(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir()]


def everything(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and ".git" not in path.relative_to(folder).parts
    }


def test_a_new_archive_passes_check_builds_and_verifies(tmp_path: Path) -> None:
    root = tmp_path / "ours"
    ran = begin(root)

    assert (ran.status, ran.out) == (0, f"{root}\n")
    assert git(root, "status", "--porcelain") == ""
    assert git(root, "log", "--format=%an %ae %s") == (
        "A a@lab.example Begin the archive"
    )
    assert git(root, "symbolic-ref", "--short", "HEAD") == "main"
    checked = run("check", "--strict", "--root", root)
    assert (checked.status, checked.out) == (0, "")
    assert run("build", "--root", root, "--out", tmp_path / "site").status == 0
    assert run("verify", "--root", root, "--site", tmp_path / "site").status == 0
    assert git(root, "status", "--porcelain") == ""


def test_git_is_set_up_and_its_hook_checks_what_a_commit_changes(
    tmp_path: Path,
) -> None:
    root = tmp_path / "ours"
    begin(root)
    assert drivers_named(root)
    assert "merge-record" in git(root, "config", "merge.compaction.driver")

    (root / "records/lab.yaml").write_text("kind: [")
    (root / "other.txt").write_text("x")
    git(root, "add", "other.txt")
    git(root, "commit", "--message=another file: no record is looked at")
    git(root, "add", "records")
    with pytest.raises(subprocess.CalledProcessError) as refused:
        git(root, "commit", "--message=a record that can't be read")

    assert "records/lab.yaml:2" in refused.value.stdout + refused.value.stderr


def test_what_it_is_told_stands_in_the_archive(tmp_path: Path) -> None:
    ran = begin(
        tmp_path / "ours",
        *("--name", "Heron: Soils", "--place", "Marsh, North"),
        *("--staff", "T1 technician t1@lab.example, M2 manager, T3 technician"),
        *("--since", "2026-01-05", "--me", "M2"),
        *("--standards", "d698, aashto t180", "--report-density", "kg/m3"),
        *("--seen-by", "public", "--program", f"git+https://host.example/b@{'0' * 40}"),
    )

    assert (ran.status, "workflows wait" in ran.err) == (0, False)
    told = lab(tmp_path / "ours")
    assert (told["name"], told["place"]) == ("Heron: Soils", "Marsh, North")
    assert told["staff"] == {
        "T1": {
            "roles": ["technician"],
            "may": ["test"],
            "from": "2026-01-05",
            "emails": ["t1@lab.example"],
        },
        "M2": {
            "roles": ["manager"],
            "may": ["review", "authorize"],
            "from": "2026-01-05",
            "emails": ["a@lab.example"],
        },
        "T3": {"roles": ["technician"], "may": ["test"], "from": "2026-01-05"},
    }
    procedures = told["procedures"]
    assert isinstance(procedures, dict)
    assert procedures["standards"] == ["ASTM D698", "AASHTO T 180"]
    assert procedures["report_density"] == "kg/m3"
    assert "robots" not in told
    source = (tmp_path / "ours/program/source.txt").read_text()
    assert f"\ngit+https://host.example/b@{'0' * 40}\n" in source
    workflows = tmp_path / "ours/.github/workflows"
    assert sorted(held(workflows)) == ["check.yml", "publish.yml"]


def test_members_only_publishes_nothing(tmp_path: Path) -> None:
    begin(tmp_path / "ours")

    workflows = tmp_path / "ours/.github/workflows"
    assert sorted(held(workflows)) == ["check.yml", "site.yml"]
    site = (workflows / "site.yml").read_text()
    assert "pages" not in yaml.safe_dump(yaml.safe_load(site)).lower()
    assert lab(tmp_path / "ours")["robots"] == "none"


def test_every_question_is_asked_and_has_an_option_of_its_name(tmp_path: Path) -> None:
    answers = b"Ours\nTown\nT01 technician\n2026-01-05\n\nAASHTO T 99\n"
    answers += b"\n\n\nA B\na@lab.example\n"

    ran = run("init", tmp_path / "ours", stdin=answers)

    assert ran.status == 0, ran.err
    assert lab(tmp_path / "ours")["name"] == "Ours"
    assert git(tmp_path / "ours", "log", "--format=%an") == "A B"
    text = run("init", "--help").out
    for name, (words, _) in PROMPTS.items():
        assert f"--{name.replace('_', '-')} " in text
        assert words in ran.err


def test_a_question_mark_is_no_name_of_a_laboratory(tmp_path: Path) -> None:
    answers = b"?\nOurs\nTown\nT01 technician\n2026-01-05\n\nAASHTO T 99\n"
    answers += b"\n\n\nA B\na@lab.example\n"

    ran = run("init", tmp_path / "ours", stdin=answers)

    assert ran.status == 0, ran.err
    assert "Ctrl-C: leave, and write nothing." in ran.err
    assert lab(tmp_path / "ours")["name"] == "Ours"


def test_an_end_of_input_writes_nothing(tmp_path: Path) -> None:
    assert run("init", tmp_path / "ours", stdin=b"Ours\n").status == 1
    assert not (tmp_path / "ours").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--staff", "T01"], "write a code, one of technician"),
        (["--staff", "T01 boss"], "write a code, one of technician"),
        (["--staff", "T01 technician t01"], "e-mail"),
        (["--staff", ""], "nobody is named"),
        (["--staff", "T01 technician, T01 engineer"], "T01"),
        (["--me", "X9"], "is not a staff code"),
        (["--standards", "AASHTO T 999"], "is not a known standard"),
        (["--since", "5.1.2026"], "is not a date"),
        (["--program", "git+https://host.example/b@main"], "40 digits"),
        (["--report-density", "stone"], "is not one of"),
        (["--name", " "], "name"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_written(
    tmp_path: Path, words: list[str], said: str
) -> None:
    ran = begin(tmp_path / "ours", *words)

    assert ran.status == 2, ran.err
    assert said in ran.err
    assert held(tmp_path) == []


def test_a_folder_that_holds_a_file_of_ours_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "ours").mkdir()
    (tmp_path / "ours/README.md").write_text("mine")

    ran = begin(tmp_path / "ours")

    assert (ran.status, "already has README.md" in ran.err) == (2, True)
    assert held(tmp_path / "ours") == ["README.md"]
    assert begin(tmp_path / "ours/README.md").status == 2


def test_an_archive_is_not_begun_twice(tmp_path: Path) -> None:
    begin(tmp_path / "ours")
    before = everything(tmp_path / "ours")

    assert begin(tmp_path / "ours", "--name", "Other").status == 2
    assert everything(tmp_path / "ours") == before


def test_a_folder_inside_another_clone_is_refused(tmp_path: Path) -> None:
    begin(tmp_path / "ours")

    ran = begin(tmp_path / "ours/deeper/archive")

    assert (ran.status, "is inside the clone at" in ran.err) == (3, True)
    assert not (tmp_path / "ours/deeper").exists()


def test_an_empty_clone_with_files_of_its_own_is_taken(tmp_path: Path) -> None:
    root = tmp_path / "ours"
    root.mkdir()
    git(root, "init", "--quiet", "--initial-branch=trunk")
    (root / "LICENSE").write_text("mine")
    git(root, "add", "LICENSE")

    assert begin(root).status == 0

    assert git(root, "status", "--porcelain") == "A  LICENSE"
    procedures = lab(root)["procedures"]
    assert isinstance(procedures, dict)
    assert procedures["published_branch"] == "trunk"
    assert "refs/heads/trunk" in (root / ".github/workflows/check.yml").read_text()
    assert run("check", "--root", root).status == 0
    assert run("verify", "--root", root).status == 0


def test_a_hook_that_stands_there_is_kept(tmp_path: Path) -> None:
    root = tmp_path / "ours"
    root.mkdir()
    git(root, "init", "--quiet")
    hook = root / ".git/hooks/pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\n")

    ran = begin(root)

    assert (ran.status, "There is another hook" in ran.err) == (0, True)
    assert hook.read_text() == "#!/bin/sh\n"


def test_a_folder_that_is_there_and_empty_is_taken(tmp_path: Path) -> None:
    (tmp_path / "ours").mkdir()

    assert begin(tmp_path / "ours").status == 0
    assert git(tmp_path / "ours", "status", "--porcelain") == ""


def test_a_commit_that_a_hook_refuses_leaves_nothing_behind(tmp_path: Path) -> None:
    root = tmp_path / "ours"
    root.mkdir()
    git(root, "init", "--quiet")
    (root / ".git/hooks").mkdir(exist_ok=True)
    (root / ".git/hooks/pre-commit").write_text("#!/bin/sh\nexit 1\n")
    (root / ".git/hooks/pre-commit").chmod(0o755)

    assert begin(root).status == 3

    assert held(root) == [".git"]
    assert git(root, "status", "--porcelain") == ""


@pytest.mark.parametrize("there", [False, True])
def test_when_it_fails_all_is_taken_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, there: bool
) -> None:
    if there:
        (tmp_path / "ours").mkdir()
        (tmp_path / "ours/note.txt").write_text("mine")

    def refuse(*words: object) -> None:
        raise EnvironmentFault("The disk is full.", "Make room.")

    monkeypatch.setattr("buildsite.history.clone_setup.first_commit", refuse)

    assert begin(tmp_path / "ours").status == 3
    left = [path.name for path in tmp_path.rglob("*")]
    assert sorted(left) == (["note.txt", "ours"] if there else [])


def test_without_a_name_for_git_all_but_the_commit_is_done(tmp_path: Path) -> None:
    ran = run("init", tmp_path / "ours", "--defaults")

    assert (ran.status, "git config user.email" in ran.err) == (0, True)
    assert run("check", "--root", tmp_path / "ours").status == 0
    with pytest.raises(subprocess.CalledProcessError):
        git(tmp_path / "ours", "rev-parse", "--verify", "HEAD")


def test_git_setup_writes_the_hook_in_another_clone(tmp_path: Path) -> None:
    begin(tmp_path / "ours")
    git(tmp_path, "clone", "--quiet", str(tmp_path / "ours"), "theirs")

    ran = run("git-setup", "--hook", "--root", tmp_path / "theirs")

    hook = tmp_path / "theirs/.git/hooks/pre-commit"
    assert str(hook) in ran.out
    assert os.access(hook, os.X_OK)
    assert run("git-setup", "--hook", "--root", tmp_path / "theirs").status == 0


def test_a_slip_is_asked_for_again_and_nothing_is_lost(tmp_path: Path) -> None:
    slips = (
        "Ours", "Our town",
        "T1", "T1 boss", "T1 technician, E1 engineer",
        "5.1.2026", "",
        "X9", "T1",
        "ASTM D999", "ASTM D698",
        "", "",
        "git+https://host.example/b@main", "",
    )  # fmt: skip
    answers = "".join(f"{answer}\n" for answer in (*slips, "", "")).encode()
    root = tmp_path / "ours"
    ran = run("init", root, stdin=answers)

    assert ran.status == 0, ran.err
    assert "! --staff 'T1': write a code, one of technician" in ran.err
    assert "! '5.1.2026' is not a date. Write YYYY-MM-DD." in ran.err
    assert "! --me 'X9' is not a staff code" in ran.err
    assert "! --standards 'ASTM D999' is not a known standard" in ran.err
    assert "40 digits" in ran.err
    found = lab(root)
    assert list(found["staff"]) == ["T1", "E1"]  # type: ignore[call-overload]
    # Whoever gives no name and no address is known by a label that reaches nobody:
    # RFC 2606, section 2, keeps .invalid for such.
    assert git(root, "log", "--format=%an %ae %s") == (
        "T1 t1@ours.invalid Begin the archive"
    )


def test_yesterdays_test_may_be_by_who_is_on_the_staff_today(tmp_path: Path) -> None:
    begin(tmp_path / "ours")

    staff = lab(tmp_path / "ours")["staff"]
    assert isinstance(staff, dict)
    assert [who["from"][4:] for who in staff.values()] == ["-01-01", "-01-01"]


def test_without_a_folder_it_says_how_to_name_this_one() -> None:
    ran = run("init")

    assert ran.status == 2
    assert "buildsite init ." in ran.err


def test_an_address_that_is_anothers_is_not_given_to_oneself(tmp_path: Path) -> None:
    # Git's own address here is a@lab.example.
    staff = "T01 technician a@lab.example, E01 engineer"
    words = ("--name", "Ours", "--place", "Here", "--staff", staff, "--defaults")
    ran = run("init", tmp_path / "ours", *words)

    assert ran.status == 0, ran.err
    assert (tmp_path / "ours/records/lab.yaml").read_text().count("a@lab.example") == 1
