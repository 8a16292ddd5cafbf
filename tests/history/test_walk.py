"""The walk says what plain git says: commits, what they touched, what they held."""

import subprocess
from pathlib import Path

import pytest

from buildsite.errors import EnvironmentFault
from buildsite.history.blobs import AT_ONCE
from buildsite.history.walk import History, read_history
from tests.clones import git
from tests.pasts import begun, edit, put

A, B = "records/p/tests/A.yaml", "records/p/tests/B.yaml"


def agrees_with_git(root: Path, inside: str = "") -> History:
    """Compare every commit's tree, file by file, with what git itself shows."""
    past = read_history(root / inside)
    ids = git(root, "rev-list", "--topo-order", "HEAD").split()
    assert [commit.id for commit in past.commits] == ids
    line = git(root, "rev-list", "--first-parent", "HEAD").split()
    assert [commit.id for commit in past.main] == line
    for id in ids:
        words = ["git", "-C", str(root / inside), "ls-tree", "-r", "-z", id, "records"]
        listing = subprocess.run(words, capture_output=True, check=True).stdout
        rows = [row.partition("\t") for row in listing.decode().split("\0") if row]
        held = {
            path: about.split()[2]
            for about, _, path in rows
            if about.split()[0].startswith("100")
        }
        assert past.names(id) == sorted(held)
        for path, blob in held.items():
            assert past.blob(id, path) == blob
            shown = ["git", "-C", str(root), "cat-file", "blob", blob]
            data = subprocess.run(shown, capture_output=True, check=True).stdout
            assert past.read(id, path) == data
    return past


def branched(root: Path) -> Path:
    """Give a repository where two branches changed different lines of one file."""
    lines = [f"line {n}\n" for n in range(9)]
    begun(root)
    edit(root, "one", {A: "".join(lines), B: "b\n"})
    git(root, "checkout", "--quiet", "-b", "other")
    edit(root, "other", {A: "".join(["OTHER\n", *lines[1:]]), B: "b of other\n"})
    git(root, "checkout", "--quiet", "main")
    edit(root, "mine", {A: "".join([*lines[:8], "MINE\n"])})
    return root


def test_a_straight_line_of_edits(tmp_path: Path) -> None:
    begun(tmp_path)
    edit(tmp_path, "one", {A: "1", "README": "not a record"})
    edit(tmp_path, "two", {A: "2", B: "b"})
    edit(tmp_path, "nothing of records", {"README": "still none"})
    edit(tmp_path, "three", {A: "3"})

    past = agrees_with_git(tmp_path)

    assert [c.subject for c in past.touching([A])] == ["one", "two", "three"]
    assert past.by_id[past.commits[1].id].touches == ()


def test_a_change_made_inside_a_merge_is_counted_once(tmp_path: Path) -> None:
    root = branched(tmp_path)
    git(root, "merge", "--quiet", "--no-commit", "other")
    put(root, {A: "made inside the merge\n"})
    merge = edit(root, "merged by hand", {})

    past = agrees_with_git(root)

    assert len(past.by_id[merge].parents) == 2
    subjects = [c.subject for c in past.touching([A])]
    assert sorted(subjects) == ["merged by hand", "mine", "one", "other"]
    assert subjects[-1] == "merged by hand"
    assert [c.subject for c in past.touching([B])] == ["one", "other"]


def parted(root: Path, ours: str | None, theirs: str | None) -> Path:
    """A file that each side may have changed since they parted; a merge is begun."""
    begun(root)
    edit(root, "one", {A: "old", B: "1"})
    git(root, "checkout", "--quiet", "-b", "other")
    edit(root, "other", {B: "2"} if theirs is None else {A: theirs, B: "2"})
    git(root, "checkout", "--quiet", "main")
    edit(root, "mine", {} if ours is None else {A: ours})
    git(root, "merge", "--quiet", "--no-commit", "--no-ff", "-X", "ours", "other")
    return root


@pytest.mark.parametrize(
    ("ours", "theirs", "merged", "seen"),
    [
        ("new", None, "new", {B: False}),
        (None, "new", "new", {A: False, B: False}),
        ("new", None, "old", {A: True, B: False}),  # undone: the older side taken
        (None, "new", "old", {A: True, B: False}),  # dropped: the older side kept
        ("mine", "theirs", "mine", {A: True, B: False}),  # chosen
        ("mine", "theirs", "theirs", {A: True, B: False}),
        ("mine", "theirs", "both", {A: True, B: False}),  # written anew
        ("same", "same", "same", {B: False}),
    ],
)
def test_a_merge_tells_what_was_done_in_it(
    tmp_path: Path,
    ours: str | None,
    theirs: str | None,
    merged: str,
    seen: dict[str, bool],
) -> None:
    root = parted(tmp_path, ours, theirs)
    merge = edit(root, "merged", {A: merged})

    past = agrees_with_git(root)

    assert len(past.by_id[merge].parents) == 2
    assert {t.path: t.inside for t in past.by_id[merge].touches} == seen


def test_a_merge_of_three_lines(tmp_path: Path) -> None:
    begun(tmp_path)
    edit(tmp_path, "one", {A: "1"})
    for name in ("x", "y"):
        git(tmp_path, "checkout", "--quiet", "-b", name, "main")
        edit(tmp_path, name, {f"records/p/tests/{name}.yaml": name})
    git(tmp_path, "checkout", "--quiet", "main")
    edit(tmp_path, "mine", {A: "2"})
    git(tmp_path, "merge", "--quiet", "--no-edit", "x", "y")

    past = agrees_with_git(tmp_path)

    assert len(past.commits[0].parents) == 3
    assert [t.inside for t in past.commits[0].touches] == [False, False]


def test_files_moved_taken_away_and_brought_back(tmp_path: Path) -> None:
    elsewhere = "records/q/tests/A.yaml"
    begun(tmp_path)
    edit(tmp_path, "one", {A: "1"})
    edit(tmp_path, "moved", {A: None, elsewhere: "1"})
    edit(tmp_path, "gone", {elsewhere: None, B: "b"})
    edit(tmp_path, "back", {A: "1"})

    past = agrees_with_git(tmp_path)

    there = [[p for p in (A, elsewhere) if past.blob(c.id, p)] for c in past.main[::-1]]
    assert there == [[A], [elsewhere], [], [A]]


@pytest.mark.parametrize(
    "name",
    ["Größe.yaml", "a\tb.yaml", 'say "x".yaml', "-lead.yaml", "a b.yaml", ":x\ny.yaml"],
)
def test_odd_paths(tmp_path: Path, name: str) -> None:
    path = f"records/p/tests/{name}"
    begun(tmp_path)
    edit(tmp_path, "one", {path: "1"})
    edit(tmp_path, "two", {path: "2"})

    past = agrees_with_git(tmp_path)

    assert past.names(past.commits[0].id) == [path]


def test_an_archive_in_a_folder_of_its_repository(tmp_path: Path) -> None:
    begun(tmp_path)
    edit(tmp_path, "one", {f"soils/{A}": "1", A: "of another archive"})
    edit(tmp_path, "two", {f"soils/{A}": "2", f"soils-too/{A}": "no"})

    past = agrees_with_git(tmp_path, "soils")

    assert past.names(past.commits[0].id) == [A]
    assert past.read(past.commits[0].id, A) == b"2"


def test_names_of_sha_256(tmp_path: Path) -> None:
    begun(tmp_path, "--object-format=sha256")
    edit(tmp_path, "one", {A: "1"})
    edit(tmp_path, "two", {A: "2", B: "b"})

    past = agrees_with_git(tmp_path)

    assert len(past.commits[0].id) == 64


def test_no_record_is_read_through_a_link(tmp_path: Path) -> None:
    begun(tmp_path)
    edit(tmp_path, "one", {A: "1", B: "b"})
    (tmp_path / A).unlink()
    (tmp_path / A).symlink_to("B.yaml")
    edit(tmp_path, "a link now", {})

    past = agrees_with_git(tmp_path)

    assert past.names(past.commits[0].id) == [B]


def test_a_repository_without_a_commit_has_an_empty_past(tmp_path: Path) -> None:
    begun(tmp_path)

    past = read_history(tmp_path)

    assert (past.commits, past.main, past.paths) == ((), (), ())


def test_a_message_cannot_pass_for_a_commit(tmp_path: Path) -> None:
    begun(tmp_path)
    first = edit(tmp_path, "one", {A: "1"})
    hostile = f"two\x01{first}\x02\n\n:100644 100644 {first} {first} M\n{A}\x1b[2J"
    edit(tmp_path, hostile, {A: "2"})

    past = agrees_with_git(tmp_path)

    assert len(past.commits) == 2
    assert past.commits[0].message == hostile


def made_by_hand(root: Path, commit: bytes) -> None:
    """Make a commit that `git commit` would not, and check it out."""
    words = ["git", "-C", str(root), "hash-object", "--literally", "-t", "commit"]
    done = subprocess.run(
        [*words, "-w", "--stdin"], input=commit, capture_output=True, check=True
    )
    git(root, "reset", "--quiet", "--hard", done.stdout.decode().strip())


def test_a_message_with_a_nul_ends_there(tmp_path: Path) -> None:
    begun(tmp_path)
    first = edit(tmp_path, "one", {A: "1"})
    text = git(tmp_path, "cat-file", "commit", first) + "\0" + "f" * 40 + "\0\0\0"
    made_by_hand(tmp_path, text.encode())

    past = read_history(tmp_path)

    assert [commit.message for commit in past.commits] == ["one"]


def test_messages_in_other_letters_and_trailers(tmp_path: Path) -> None:
    begun(tmp_path)
    edit(tmp_path, "Größe\n\nwhy\n\nEntered-by: T07\nReason: misread", {A: "1"})
    git(tmp_path, "config", "i18n.commitEncoding", "ISO-8859-1")
    put(tmp_path, {A: "2", "message": b"Gr\xf6\xdfe\n"})
    git(tmp_path, "commit", "--all", "--quiet", "--file", str(tmp_path / "message"))

    latin, first = read_history(tmp_path).commits

    assert latin.message == "Größe"
    assert first.message == "Größe\n\nwhy"
    assert first.trailers == {"entered-by": "T07", "reason": "misread"}


def test_bytes_that_are_no_letters_are_marked(tmp_path: Path) -> None:
    begun(tmp_path)
    first = edit(tmp_path, "one", {A: "1"})
    text = git(tmp_path, "cat-file", "commit", first).encode() + b" \xff\n"
    made_by_hand(tmp_path, text)

    assert read_history(tmp_path).commits[0].message == "one \ufffd"


@pytest.mark.parametrize(
    ("setting", "value"),
    [
        ("log.showRoot", "false"),
        ("log.showSignature", "true"),
        ("log.diffMerges", "combined"),
        ("diff.renames", "copies"),
        ("diff.relative", "true"),
        ("color.ui", "always"),
        ("format.pretty", "oneline"),
    ],
)
def test_no_setting_of_the_user_moves_the_past(
    tmp_path: Path, setting: str, value: str
) -> None:
    root = branched(tmp_path)
    edit(root, "moved", {B: None, "records/q/tests/B.yaml": "b\n"})
    plain = read_history(root).commits

    git(root, "config", setting, value)

    assert read_history(root).commits == plain


def test_addresses_are_those_of_the_commit_not_of_a_mailmap(tmp_path: Path) -> None:
    begun(tmp_path)
    edit(tmp_path, "one", {A: "1", ".mailmap": "X <x@lab.example> <a@lab.example>\n"})

    commit = read_history(tmp_path).commits[0]

    assert (commit.email, commit.author_email) == ("a@lab.example", "a@lab.example")


def test_many_and_large_files_are_read_in_one_go(tmp_path: Path) -> None:
    begun(tmp_path)
    number = 3 * AT_ONCE
    files = {f"records/p/tests/N{n}.yaml": f"{n}\n" * 20_000 for n in range(number)}
    edit(tmp_path, "many", files)
    past = read_history(tmp_path)
    tip = past.commits[0].id

    past.blobs.load(past.blob(tip, path) for path in past.paths)

    assert all(past.read(tip, path) == text.encode() for path, text in files.items())


def test_a_blob_that_is_not_there_is_named(tmp_path: Path) -> None:
    begun(tmp_path)
    edit(tmp_path, "one", {A: "1"})
    past = read_history(tmp_path)
    blob = past.blob(past.commits[0].id, A)
    (tmp_path / ".git/objects" / blob[:2] / blob[2:]).unlink()

    with pytest.raises(EnvironmentFault, match=f"Blob {blob} is missing"):
        past.read(past.commits[0].id, A)


def test_a_broken_commit_is_not_the_end_of_the_past(tmp_path: Path) -> None:
    begun(tmp_path)
    first = edit(tmp_path, "one", {A: "1"})
    edit(tmp_path, "two", {A: "2"})
    (tmp_path / ".git/objects" / first[:2] / first[2:]).unlink()

    with pytest.raises(EnvironmentFault, match="git fsck"):
        read_history(tmp_path)
