"""An archive that moved: at each commit its state is what its folder held, no more."""

from pathlib import Path

import pytest

from buildsite.history.walk import History, read_history
from tests.clones import git
from tests.pasts import begun, edit, put

LAB = "records/lab.yaml"
A, B = "records/p/tests/A.yaml", "records/p/tests/B.yaml"
ISSUED = "records/p/tests/A.issued.yaml"


def places(root: Path, at: str, *expected: str) -> History:
    """Compare every commit along the branch, oldest first, with git's own listing."""
    past = read_history(root / at)
    line = git(root, "rev-list", "--first-parent", "--reverse", "HEAD").split()
    assert len(line) == len(expected)
    for commit, place in zip(line, expected, strict=True):
        shown = git(root, "ls-tree", "-r", commit, f"{place}records/").splitlines()
        rows = [row.split(maxsplit=3) for row in shown]
        held = {row[3].removeprefix(place): row[2] for row in rows}
        assert {n: past.blob(commit, n) for n in past.names(commit)} == held
    return past


def moved(root: Path, old: str, new: str, *stay: str) -> str:
    """Move the archive from one folder to another, but for some files."""
    (root / new).mkdir(parents=True, exist_ok=True)
    git(root, "mv", f"{old}records", f"{new}records")
    for name in stay:
        (root / old / name).parent.mkdir(parents=True, exist_ok=True)
        git(root, "mv", f"{new}{name}", f"{old}{name}")
    return edit(root, "moved", {})


def archive(root: Path) -> Path:
    begun(root)
    edit(root, "one", {LAB: "lab", A: "1", B: "b", ISSUED: "i"})
    return root


def test_what_stays_is_removed_by_the_move(tmp_path: Path) -> None:
    root = archive(tmp_path)
    move = moved(root, "", "lab/", B)
    edit(root, "gone", {B: None})

    past = places(root, "lab", "", "lab/", "lab/")

    assert {t.path: t.new for t in past.by_id[move].touches} == {B: ""}


def test_there_and_back(tmp_path: Path) -> None:
    root = archive(tmp_path)
    moved(root, "", "lab/", B)
    edit(root, "at the old place meanwhile", {B: "other"})
    edit(root, "gone", {B: None})
    moved(root, "lab/", "")

    places(root, "", "", "lab/", "lab/", "lab/", "")


def test_the_lab_first_and_the_rest_later(tmp_path: Path) -> None:
    root = archive(tmp_path)
    (root / "lab/records").mkdir(parents=True)
    git(root, "mv", LAB, f"lab/{LAB}")
    edit(root, "the lab", {})
    git(root, "mv", "records/p", "lab/records/p")
    edit(root, "the rest", {})

    places(root, "lab", "", "lab/", "lab/")


def test_the_lab_taken_away_before_the_move(tmp_path: Path) -> None:
    root = archive(tmp_path)
    edit(root, "no lab", {LAB: None})
    moved(root, "", "lab/")
    edit(root, "a lab", {f"lab/{LAB}": "lab"})

    places(root, "lab", "", "", "lab/", "lab/")


def test_an_archive_that_was_away_begins_where_it_comes_back(tmp_path: Path) -> None:
    root = archive(tmp_path)
    git(root, "mv", "records", "attic")
    edit(root, "away", {})
    (root / "lab").mkdir()
    git(root, "mv", "attic", "lab/records")
    edit(root, "back", {})

    past = places(root, "lab", "lab/", "lab/", "lab/")

    assert [(other.place, other.earlier) for other in past.others] == [
        ("records/", True)
    ]


def test_an_archive_that_was_away_and_comes_back(tmp_path: Path) -> None:
    root = archive(tmp_path)
    git(root, "mv", "records", "attic")
    edit(root, "away", {})
    git(root, "mv", "attic", "records")
    edit(root, "back", {})

    places(root, "", "", "", "")


def test_another_archive_begun_where_one_stood_before(tmp_path: Path) -> None:
    root = archive(tmp_path)
    moved(root, "", "lab/")
    edit(root, "another", {LAB: "x"})
    edit(root, "filled", {A: "x", ISSUED: "x"})

    places(root, "lab", "", "lab/", "lab/", "lab/")
    past = places(root, "", "none/", "none/", "", "")

    stood = [(one.place, one.stands, one.earlier) for one in past.others]
    assert stood == [("lab/records/", True, True), ("records/", False, True)]


def test_an_archive_begun_beside_another_did_not_come_from_where_that_was(
    tmp_path: Path,
) -> None:
    root = archive(tmp_path)
    git(root, "branch", "side")
    moved(root, "", "lab/")
    git(root, "checkout", "--quiet", "side")
    edit(root, "on the branch", {A: "2"})
    git(root, "checkout", "--quiet", "main")
    git(root, "merge", "--quiet", "--no-edit", "side")
    edit(root, "another", {f"other/{LAB}": "x"})

    past = places(root, "other", *["other/"] * 4)

    assert not any(past.names(commit.id) for commit in past.commits[1:])


def test_two_archives_keep_apart(tmp_path: Path) -> None:
    root = archive(tmp_path)
    edit(root, "another", {f"other/{LAB}": "x", f"other/{B}": "x"})
    edit(root, "and more", {f"other/{B}": "y", A: "2"})

    places(root, "", "", "", "")
    past = places(root, "other", "other/", "other/", "other/")

    assert past.names(past.main[-1].id) == []


def test_one_of_two_archives_moves(tmp_path: Path) -> None:
    root = archive(tmp_path)
    edit(root, "another", {f"other/{LAB}": "x", f"other/{B}": "x"})
    moved(root, "", "lab/")

    places(root, "lab", "", "", "lab/")
    places(root, "other", "other/", "other/", "other/")


@pytest.mark.parametrize("lab", ["lab", "another text"])
def test_a_copy_came_from_what_it_copied(tmp_path: Path, lab: str) -> None:
    root = archive(tmp_path)
    edit(root, "copy", {f"lab/{LAB}": lab, f"lab/{ISSUED}": "i"})
    edit(root, "goes on", {f"lab/{A}": "2", A: "3"})

    places(root, "lab", "", "lab/", "lab/")
    places(root, "", "", "", "")


def test_a_branch_from_before_the_move(tmp_path: Path) -> None:
    root = archive(tmp_path)
    git(root, "checkout", "--quiet", "-b", "before")
    side = edit(root, "on the branch", {A: "2"})
    git(root, "checkout", "--quiet", "main")
    moved(root, "", "lab/")
    git(root, "merge", "--quiet", "--no-edit", "before")

    past = places(root, "lab", "", "lab/", "lab/")

    assert past.blob(side, A) == past.blob(past.commits[0].id, A)
    assert [t.inside for t in past.commits[0].touches] == [False]


def test_a_move_in_a_merge_of_three_lines(tmp_path: Path) -> None:
    root = archive(tmp_path)
    for name in ("x", "y"):
        git(root, "checkout", "--quiet", "-b", name, "main")
        edit(root, name, {f"records/p/tests/{name}.yaml": name})
    git(root, "checkout", "--quiet", "main")
    edit(root, "mine", {A: "2"})
    git(root, "merge", "--quiet", "--no-commit", "x", "y")
    (root / "lab").mkdir()
    git(root, "mv", "records", "lab/records")
    put(root, {f"lab/{B}": None})
    edit(root, "merged and moved", {})

    past = places(root, "lab", "", "", "lab/")

    assert len(past.commits[0].parents) == 3
    seen = {t.path.rpartition("/")[2]: t.inside for t in past.commits[0].touches}
    assert seen == {"B.yaml": True, "x.yaml": False, "y.yaml": False}


def test_a_branch_where_the_archive_has_not_moved_yet(tmp_path: Path) -> None:
    root = archive(tmp_path)
    edit(root, "a fixture", {f"tests/{LAB}": "x", f"tests/{B}": "x"})
    git(root, "branch", "base")
    moved(root, "", "lab/")

    past = read_history(root / "lab", "base")

    assert past.names(past.main[0].id) == sorted([LAB, A, B, ISSUED])


def test_a_folder_whose_name_only_ends_in_records_is_no_archive(tmp_path: Path) -> None:
    root = archive(tmp_path)
    edit(
        root, "old", {"old-records/lab.yaml": "lab", "old-records/p/tests/C.yaml": "c"}
    )

    past = places(root, "", "", "")

    assert past.others == ()
