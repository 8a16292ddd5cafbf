"""A site is replaced whole: old, new, or a journal that the next build completes."""

import json
import stat
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import pytest

from buildsite.errors import EnvironmentFault
from buildsite.files import replace_site
from tests.files.killed_builds import builder

Site = dict[str, bytes]
Kill = Callable[[int, Path, Site], bool]


def site(**pages: str) -> Site:
    """Make a site of a few pages; `__` in a name stands for a slash, `_` for a dot."""
    files = {
        name.replace("__", "/").replace("_", "."): text.encode()
        for name, text in pages.items()
    }
    manifest = {
        "files": dict.fromkeys(sorted(files), "sha256:…"),
        "software": {"name": "buildsite"},
    }
    return {**files, "manifest.json": json.dumps(manifest).encode()}


OLD = site(index_html="old", tests__A__index_html="A", tests__B__index_html="B", x="1")
NEW = site(index_html="new", tests__A__index_html="A", tests__C__index_html="C", x="2")
THIRD = site(index_html="third", y="3")


def on_disk(out: Path) -> Site | None:
    if not out.exists():
        return None
    return {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in sorted(out.rglob("*"))
        if path.is_file()
    }


def put(out: Path, files: Iterable[tuple[str, bytes]]) -> None:
    replace_site(out, lambda stage: (stage.put(*file) for file in files))


def build(out: Path, files: Site) -> None:
    put(out, files.items())


def test_a_site_is_made_where_there_was_none(tmp_path: Path) -> None:
    build(tmp_path / "deep" / "site", OLD)

    assert on_disk(tmp_path / "deep" / "site") == OLD
    assert [p.name for p in (tmp_path / "deep").iterdir()] == ["site"]


def test_a_site_is_made_in_an_empty_folder(tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()

    build(tmp_path / "site", OLD)

    assert on_disk(tmp_path / "site") == OLD


def test_a_site_takes_the_place_of_another(tmp_path: Path) -> None:
    build(tmp_path / "site", OLD)

    build(tmp_path / "site", NEW)

    assert on_disk(tmp_path / "site") == NEW
    assert not (tmp_path / "site" / "tests" / "B").exists()
    assert [p.name for p in tmp_path.iterdir()] == ["site"]


def test_only_what_differs_is_written(tmp_path: Path) -> None:
    out = tmp_path / "site"
    build(out, OLD)
    before = {path: path.stat().st_ino for path in out.rglob("*") if path.is_file()}

    build(out, NEW)

    same = [path for path, inode in before.items() if path.exists() and
            path.stat().st_ino == inode]  # fmt: skip
    assert same == [out / "tests" / "A" / "index.html"]


def states(out: Path) -> dict[Path, tuple[int, ...]]:
    """All that the system says of each file, but when it was read."""
    files = {path: path.stat() for path in [out, *out.rglob("*")]}
    return {
        path: (*one[: stat.ST_ATIME], one.st_mtime_ns, one.st_ctime_ns)
        for path, one in files.items()
    }


def test_the_same_site_again_touches_nothing(tmp_path: Path) -> None:
    out = tmp_path / "site"
    build(out, OLD)
    before = states(out)

    build(out, OLD)

    assert states(out) == before


@pytest.mark.parametrize(
    "files",
    [
        {"index.html": b"mine"},
        {"manifest.json": b"{}"},
        {"manifest.json": b"[1]"},
        {"manifest.json": b'{"files": {}, "software": {"name": "another"}}'},
        {"manifest.json": b'{"files": [], "software": {"name": "buildsite"}}'},
        {"manifest.json": b"\xff"},
        {".git/config": b""},
    ],
)
def test_a_folder_that_is_not_ours_is_left_alone(tmp_path: Path, files: Site) -> None:
    out = tmp_path / "site"
    for name, data in files.items():
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_bytes(data)

    with pytest.raises(EnvironmentFault, match="did not build"):
        build(out, NEW)

    assert on_disk(out) == files
    assert [p.name for p in tmp_path.iterdir()] == ["site"]


def test_a_file_or_a_link_is_no_place_for_a_site(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")

    with pytest.raises(EnvironmentFault, match="did not build"):
        build(tmp_path / "file", NEW)
    with pytest.raises(EnvironmentFault, match="symbolic link"):
        build(tmp_path / "link", NEW)

    with pytest.raises(EnvironmentFault, match="did not build"):
        build(Path("/"), NEW)
    assert list((tmp_path / "real").iterdir()) == []


def test_files_of_others_in_our_folder_are_kept(tmp_path: Path) -> None:
    out = tmp_path / "site"
    build(out, OLD)
    (out / ".git").mkdir()
    (out / ".git" / "HEAD").write_bytes(b"ref")
    (out / "tests" / "B" / "mine.txt").write_bytes(b"mine")

    build(out, NEW)

    assert on_disk(out) == NEW | {".git/HEAD": b"ref", "tests/B/mine.txt": b"mine"}


@pytest.mark.parametrize(
    "path",
    ["../x", "/x", "a/../../x", "a//b", "./x", "", "a/", "a\\..\\x", "C:x", "a\0b"],
)
def test_a_path_that_leaves_the_site_is_refused(tmp_path: Path, path: str) -> None:
    with pytest.raises(ValueError, match="not a path inside a site"):
        build(tmp_path / "site", {path: b"x", **OLD})

    assert list(tmp_path.iterdir()) == []


def test_a_manifest_cannot_have_files_outside_deleted(tmp_path: Path) -> None:
    out = tmp_path / "site"
    (tmp_path / "precious").write_bytes(b"1")
    build(out, OLD)
    manifest = json.loads(OLD["manifest.json"])
    manifest["files"]["../precious"] = "sha256:…"
    (out / "manifest.json").write_text(json.dumps(manifest))

    build(out, NEW)

    assert (tmp_path / "precious").read_bytes() == b"1"
    assert on_disk(out) == NEW


def test_nothing_is_written_or_deleted_through_a_link(tmp_path: Path) -> None:
    out, away = tmp_path / "site", tmp_path / "away"
    build(out, OLD)
    (out / "tests").rename(away)
    (out / "tests").symlink_to(away)

    with pytest.raises(EnvironmentFault, match="symbolic link"):
        build(out, NEW)

    assert sorted(on_disk(away) or {}) == ["A/index.html", "B/index.html"]


def test_a_page_that_is_a_link_becomes_a_file_again(tmp_path: Path) -> None:
    out = tmp_path / "site"
    build(out, OLD)
    (out / "x").unlink()
    (tmp_path / "x").write_bytes(OLD["x"])
    (out / "x").symlink_to(tmp_path / "x")

    build(out, OLD)

    assert not (out / "x").is_symlink()
    assert on_disk(out) == OLD


def test_a_folder_may_become_a_file_and_a_file_a_folder(tmp_path: Path) -> None:
    one, other = site(a__b="1", c="2"), site(a="3", c__d="4")

    build(tmp_path / "site", one)
    build(tmp_path / "site", other)
    assert on_disk(tmp_path / "site") == other
    build(tmp_path / "site", one)
    assert on_disk(tmp_path / "site") == one


def test_two_pages_of_one_path_and_a_site_without_manifest_are_refused(
    tmp_path: Path,
) -> None:
    with pytest.raises(ValueError, match="one path"):
        put(tmp_path / "site", [*OLD.items(), *OLD.items()])
    with pytest.raises(ValueError, match="without a manifest"):
        build(tmp_path / "site", {"index.html": b""})

    assert list(tmp_path.iterdir()) == []


def test_a_page_that_cannot_be_made_leaves_the_old_site(tmp_path: Path) -> None:
    def pages() -> Iterator[tuple[str, bytes]]:
        yield "index.html", b"new"
        raise KeyboardInterrupt

    build(tmp_path / "site", OLD)

    with pytest.raises(KeyboardInterrupt):
        put(tmp_path / "site", pages())

    assert on_disk(tmp_path / "site") == OLD
    assert [p.name for p in tmp_path.iterdir()] == ["site"]


def test_two_builds_at_once_do_not_mix(tmp_path: Path) -> None:
    def pages() -> Iterator[tuple[str, bytes]]:
        with pytest.raises(EnvironmentFault, match="Another build"):
            build(tmp_path / "site", NEW)
        yield from OLD.items()

    put(tmp_path / "site", pages())

    assert on_disk(tmp_path / "site") == OLD


def test_a_journal_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    build(tmp_path / "site", OLD)
    journal = tmp_path / ".site.beside/journal"
    journal.parent.mkdir()

    for text in ("{", "[]", '{"move": [], "delete": ["../x"]}', '{"move": 1}'):
        journal.write_text(text)
        with pytest.raises(EnvironmentFault, match="journal"):
            build(tmp_path / "site", NEW)

    assert on_disk(tmp_path / "site") == OLD


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")

    with pytest.raises(EnvironmentFault, match="Can't write"):
        build(tmp_path / "file" / "site", NEW)


@pytest.fixture(scope="module")
def killed_at() -> Iterator[Kill]:
    """Build in a process that dies at a step. False if it was done before that."""
    with builder() as one:
        yield one.killed_at


@pytest.mark.parametrize(
    "old", [None, {}, OLD, THIRD], ids=["none", "empty", "old", "third"]
)
@pytest.mark.parametrize("following", [NEW, OLD], ids=["same", "another"])
def test_a_killed_build_leaves_the_old_site_the_new_one_or_a_journal(
    tmp_path: Path, killed_at: Kill, old: Site | None, following: Site
) -> None:
    seen = set()
    step = 0
    alive = True
    while alive:
        folder = tmp_path / str(step)
        out = folder / "site"
        folder.mkdir()
        if old is not None:
            out.mkdir()
        if old:
            build(out, old)

        alive = killed_at(step, out, NEW)

        left = on_disk(out)
        if (folder / ".site.beside/journal").exists():
            seen.add("journal")
        elif left == NEW:
            seen.add("new")
        else:
            assert (left or None) == (old or None)
            seen.add("old")

        build(out, following)
        assert on_disk(out) == following
        assert [path.name for path in folder.iterdir()] == ["site"]
        step += 1
    assert step > 10
    assert seen == ({"old", "new", "journal"} if old else {"old", "new"})


def test_a_journal_is_completed_even_if_the_next_build_fails(
    tmp_path: Path, killed_at: Kill
) -> None:
    def no_pages() -> Iterator[tuple[str, bytes]]:
        yield "index.html", b"other"
        raise KeyboardInterrupt

    met = 0
    for step in range(100):
        folder = tmp_path / str(step)
        folder.mkdir()
        build(folder / "site", OLD)
        if not killed_at(step, folder / "site", NEW):
            break
        if (folder / ".site.beside/journal").exists():
            met += 1
            with pytest.raises(KeyboardInterrupt):
                put(folder / "site", no_pages())
            assert on_disk(folder / "site") == NEW
            assert [path.name for path in folder.iterdir()] == ["site"]
    assert met > 3


def test_a_site_deleted_after_a_kill_is_not_made_again_in_part(
    tmp_path: Path, killed_at: Kill
) -> None:
    build(tmp_path / "site", OLD)
    for step in range(100):
        assert killed_at(step, tmp_path / "site", NEW)
        if (tmp_path / ".site.beside/journal").exists():
            break
    for path in sorted((tmp_path / "site").rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    (tmp_path / "site").rmdir()

    build(tmp_path / "site", THIRD)

    assert on_disk(tmp_path / "site") == THIRD
