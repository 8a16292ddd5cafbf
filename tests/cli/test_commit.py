"""`commit`: what changed, with the reason, and nothing that is another's to commit."""

import json
from hashlib import sha256
from pathlib import Path

import pytest

from buildsite.entering.record_store import open_store
from buildsite.files import write_whole
from tests.archives import sound
from tests.cli.running import run
from tests.clones import clone, git
from tests.entering.terminal import Person

MOLD = "records/equipment/M-04.yaml"
TEST = "records/marsh-lane/tests/ML-101.yaml"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    clone(tmp_path, sound())
    git(tmp_path, "config", "user.name", "A")
    git(tmp_path, "config", "user.email", "a@lab.example")
    return tmp_path


def remark(root: Path, name: str, text: str = "# seen\n") -> None:
    path = root / name
    path.write_bytes(path.read_bytes() + text.encode())


def test_all_that_changed_is_committed_with_the_reason(root: Path) -> None:
    remark(root, MOLD)
    (root / "records/equipment/M-05.yaml").write_bytes((root / MOLD).read_bytes())
    (root / "other.txt").write_text("mine")

    ran = run("commit", "--why", "wiped clean", "--root", root)

    assert (ran.status, ran.out) == (0, f"{MOLD}\nrecords/equipment/M-05.yaml\n")
    assert f"changed: {MOLD}\nnew: records/equipment/M-05.yaml" in ran.err
    assert git(root, "log", "-1", "--format=%B").strip() == (
        "M-04, M-05: wiped clean\n\nReason: wiped clean"
    )
    assert git(root, "status", "--porcelain", "records/equipment") == ""
    assert git(root, "status", "--porcelain", "other.txt") == "?? other.txt"
    assert "nothing to do" in run("commit", "--why", "again", "--root", root).err


def test_a_file_that_is_named_is_committed_alone(root: Path) -> None:
    remark(root, MOLD)
    remark(root, TEST)

    ran = run("commit", root / MOLD, "--why", "wiped clean", "--root", root)

    assert ran.out == f"{MOLD}\n"
    assert git(root, "status", "--porcelain", "records").strip() == f"M {TEST}"


def test_without_a_reason_nothing_is_committed(root: Path) -> None:
    remark(root, MOLD)
    stood = git(root, "rev-parse", "HEAD")

    ran = run("commit", "--root", root)

    assert (ran.status, "--why" in ran.err) == (2, True)
    assert git(root, "rev-parse", "HEAD") == stood


def test_at_a_terminal_the_reason_is_asked_for_in_words(root: Path) -> None:
    remark(root, MOLD)

    one = Person(root, "commit")
    one.waits_for("Reason (recorded with the change):")
    one.types("29")
    one.waits_for("'29' is no reason")
    one.waits_for("Reason (recorded with the change):")
    one.types("yes")
    one.waits_for("Reason (recorded with the change):")
    one.types("wiped clean")

    assert one.ends() == 0
    assert git(root, "log", "-1", "--format=%s") == "M-04: wiped clean"


def test_what_review_refuses_commit_mends(root: Path) -> None:
    remark(root, MOLD)
    words = ("review", "ML-101", "--by", "E02", "--on", "2026-03-12", "--root", root)

    refused = run(*words)
    assert refused.status == 1
    assert f"{MOLD} differs from the last commit: run `buildsite commit`." in (
        refused.err
    )

    run("commit", "--why", "wiped clean", "--root", root)
    assert "differs" not in run(*words).err


def test_readings_that_enter_saved_are_left_to_enter(root: Path) -> None:
    """The slip in git's folder says whose they are."""
    slip = root / ".git/buildsite-enter/records+marsh-lane+tests+ML-101.yaml.json"
    remark(root, TEST)
    remark(root, MOLD)
    slip.parent.mkdir(exist_ok=True)
    slip.write_text(
        json.dumps(
            {"by": "T07", "states": [sha256((root / TEST).read_bytes()).hexdigest()]}
        )
    )

    ran = run("commit", "--why", "wiped clean", "--root", root)

    assert ran.out == f"{MOLD}\n"
    assert f"not committed: {TEST} has readings entered by T07; run" in ran.err
    assert "`buildsite enter ML-101`" in ran.err


@pytest.mark.parametrize(
    ("reason", "subject"),
    [
        ("M-04 calibrated again", "M-04 calibrated again"),
        ("M-04: calibrated again", "M-04: calibrated again"),
        ("calibrated like M-040", "M-04: calibrated like M-040"),
    ],
)
def test_the_subject_names_a_record_once(root: Path, reason: str, subject: str) -> None:
    remark(root, MOLD)

    run("commit", "--why", reason, "--root", root)

    assert git(root, "log", "-1", "--format=%s") == subject


def spare_sieves(root: Path, *ids: str) -> list[str]:
    """Commit sieves that no record names."""
    names = [f"records/equipment/{id}.yaml" for id in ids]
    for name, id in zip(names, ids, strict=True):
        text = f"format: 1\nkind: sieve\nid: {id}\nopening: No. 4\n"
        (root / name).write_text(text)
    git(root, "add", "--all")
    git(root, "commit", "--quiet", "--message=sieves")
    return names


def test_a_record_that_was_deleted_is_committed_as_gone(root: Path) -> None:
    sieve, another = spare_sieves(root, "S-98", "S-99")
    (root / sieve).unlink()
    remark(root, MOLD)

    ran = run("commit", "--why", "typed twice", "--root", root)

    assert ran.status == 0, ran.err
    assert f"deleted: {sieve}" in ran.err
    assert git(root, "log", "-1", "--format=%s") == "M-04, S-98: typed twice"
    assert git(root, "status", "--porcelain", "records") == ""
    assert sieve not in git(root, "ls-tree", "-r", "--name-only", "HEAD")

    (root / another).unlink()
    ran = run("commit", root / another, "--why", "sold", "--root", root)
    assert (ran.status, ran.out) == (0, f"{another}\n")


def test_a_deletion_that_a_hook_refuses_is_left_as_it_was(root: Path) -> None:
    (sieve,) = spare_sieves(root, "S-99")
    (root / sieve).unlink()
    hook = root / ".git/hooks/pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\nexit 1\n")
    hook.chmod(0o755)

    assert run("commit", "--why", "sold", "--root", root).status == 3
    assert git(root, "status", "--porcelain", "records") == f"D {sieve}"


def test_equipment_that_tests_name_is_not_committed_as_gone(root: Path) -> None:
    (root / MOLD).unlink()

    ran = run("commit", "--why", "sold", "--root", root)

    assert ran.status == 2
    assert "ML-101" in ran.err
    assert "still name M-04" in ran.err
    assert git(root, "status", "--porcelain", "records") == f"D {MOLD}"


def test_the_record_of_an_issued_test_is_not_committed_as_gone(root: Path) -> None:
    order = ("--authorized-by", "E02", "--reason", "first", "--on", "2026-03-13")
    assert run("issue", "ML-101", *order, "--root", root).status == 0
    (root / TEST).unlink()

    ran = run("commit", "--why", "typed twice", "--root", root)

    assert ran.status == 2
    assert "ML-101 was issued: a report needs its record." in " ".join(ran.err.split())
    assert "Bring it back" in ran.err


def test_what_enter_saved_in_any_other_record_is_left_to_enter_too(root: Path) -> None:
    name = "records/marsh-lane/samples/ML-S1.yaml"
    data = (root / name).read_bytes() + b"retained_until: 2027-03-31\n"
    (root / name).write_bytes(data)
    slip = root / ".git/buildsite-enter" / f"{name.replace('/', '+')}.json"
    slip.parent.mkdir(exist_ok=True)
    slip.write_text(json.dumps({"by": "T07", "states": [sha256(data).hexdigest()]}))

    ran = run("commit", "--why", "kept longer", "--root", root)

    assert f"not committed: {name} has changes entered by T07; run" in ran.err
    assert "`buildsite enter ML-S1`" in ran.err


def test_a_report_left_uncommitted_is_told(root: Path) -> None:
    by = ("--authorized-by", "E02", "--reason", "r", "--on", "2026-03-13")
    ran = run("issue", "ML-101", *by, "--no-commit", "--root", root)
    assert ran.status == 0, ran.err

    ran = run("commit", "--why", "again", "--root", root)

    assert "not committed: records/marsh-lane/tests/ML-101.issued.yaml" in ran.err
    assert "All records are committed" not in ran.err


def test_readings_that_somebody_changed_since_are_left_to_enter_too(
    root: Path,
) -> None:
    # A session was killed, and somebody wrote into the file: whose it is, `enter` asks.
    data = (root / TEST).read_bytes()
    read = data.replace(b"mold_and_wet_soil: 8.61", b"mold_and_wet_soil: 8.63")
    store = open_store(root, TEST, committing=True, signed=False)
    store.save(data, read, "T07")
    remark(root, TEST)

    ran = run("commit", "--why", "wiped clean", "--root", root)

    assert f"not committed: {TEST} has readings entered by T07; run" in ran.err
    assert "All records are committed" not in ran.err
    assert git(root, "status", "--porcelain", "records").strip() == f"M {TEST}"

    write_whole(root / TEST, read)
    git(root, "commit", "--quiet", "--all", "--message=as entered")
    remark(root, TEST)
    assert run("commit", "--why", "wiped clean", "--root", root).out == f"{TEST}\n"


def test_a_record_that_can_not_be_read_is_not_committed(root: Path) -> None:
    remark(root, MOLD)
    remark(root, TEST, "points: [\n")
    stood = git(root, "rev-parse", "HEAD")

    ran = run("commit", "--why", "weighed again", "--root", root)

    assert (ran.status, ran.out) == (1, "")
    assert f"{TEST}:" in ran.err
    assert "Nothing was committed." in ran.err
    assert git(root, "rev-parse", "HEAD") == stood
    assert run("commit", root / MOLD, "--why", "wiped", "--root", root).status == 0
