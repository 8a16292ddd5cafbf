"""
A verdict of `check` that is kept is told only while a new one would be the same.

Each reason to check again is one change of a small archive: what is told then is
compared with what the program tells that keeps nothing.
"""

import os
import random
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import click
import pytest

from buildsite.archive.archive import Archive
from buildsite.cache import looks, verdicts
from buildsite.cli.check import check
from tests.archives import changed
from tests.cli.running import Ran, run
from tests.clones import clone, git

TESTS = Path("records/marsh-lane/tests")
ML_101, ML_102 = TESTS / "ML-101.yaml", TESTS / "ML-102.yaml"
LAB, MOLD = Path("records/lab.yaml"), Path("records/equipment/M-04.yaml")
HOT = {"marsh-lane/tests/ML-101.yaml": [["temperature_c: 110", "temperature_c: 160"]]}
"""An oven too hot: a warning."""
ONE, ALL = ("check", str(ML_101)), ("check",)


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A small archive with a warning, the current folder; ticks and lots are off."""
    folder = tmp_path / "archive"
    folder.mkdir()
    clone(folder, changed(HOT))
    monkeypatch.chdir(folder)
    monkeypatch.setattr(looks, "TICK_NS", -(10**18))
    monkeypatch.setattr(verdicts, "drawn", lambda: False)
    yield folder
    verdicts.BEGAN_NS.clear()


def is_kept(words: tuple[str, ...]) -> bool:
    return verdicts.told(words, str(Path.cwd())) is not None


def anew(words: tuple[str, ...]) -> Ran:
    return run(*words, "--no-cache")


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


@pytest.mark.parametrize(
    "words",
    [
        ONE,
        ALL,
        ("check", str(TESTS)),
        ("check", str(ML_102), str(ML_101)),
        (*ONE, "--strict"),
        (*ALL, "--format", "json"),
        (*ALL, "--strict", "--format", "github"),
    ],
)
def test_it_is_told_again_with_the_same_bytes(
    root: Path, words: tuple[str, ...]
) -> None:
    first, again, whole = run(*words), run(*words), anew(words)

    assert is_kept(words)
    assert first == again == whole
    assert "1 warning" in first.err
    assert first.status == ("--strict" in words)


def test_nothing_of_the_program_is_asked_for_it(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = run(*ONE)
    monkeypatch.setattr("buildsite.cli.program.main", unwanted)

    assert run(*ONE) == first


def unwanted() -> None:
    raise AssertionError("a verdict that is kept was made again")


def test_another_question_has_a_verdict_of_its_own(root: Path) -> None:
    run(*ONE)

    assert is_kept(ONE)
    assert not is_kept(ALL)
    assert not is_kept((*ONE, "--strict"))
    assert not is_kept((*ONE, "--format", "json"))
    assert not is_kept(("check", str(ML_102)))


def test_what_depends_on_the_day_or_tells_more_is_not_kept(root: Path) -> None:
    for more in (["--due", "3m"], ["--no-cache"], ["--root", "."], ["--verbose"]):
        run(*ALL, *more)
        assert not is_kept((*ALL, *more))
    assert not is_kept(ALL)


CHANGES: dict[str, Callable[[Path], object]] = {
    "a reading": lambda _: edit(ML_101, "143.60", "143.70"),
    "the laboratory": lambda _: edit(LAB, "format: 1", "format: 1 "),
    "equipment": lambda _: edit(MOLD, "format: 1", "format: 1 "),
    "a new record": lambda _: ML_102.with_name("ML-109.yaml").write_bytes(
        ML_102.read_bytes()
    ),
    "the same id": lambda root: (root / TESTS / "ml-101.yaml").write_bytes(
        ML_101.read_bytes()
    ),
    "a record gone": lambda _: ML_102.unlink(),
    "a record renamed": lambda _: ML_102.rename(ML_102.with_name("ML-109.yaml")),
    "a record that is a link": lambda _: linked(ML_101),
    "an issued file": lambda _: ML_101.with_suffix(".issued.yaml").write_text(""),
    "a kept report": lambda _: ML_101.with_suffix(".r1.html").write_text(""),
    "a name that is none": lambda _: ML_101.with_suffix(".yml").write_text(""),
    "a hidden folder": lambda _: hidden(TESTS / ".old"),
}


def linked(path: Path) -> None:
    beside = path.with_suffix(".txt")
    path.rename(beside)
    path.symlink_to(beside.name)


def hidden(folder: Path) -> None:
    folder.mkdir()
    (folder / "ML-101.yaml").write_text("")


@pytest.mark.parametrize("what", CHANGES)
def test_what_was_changed_is_checked_again(root: Path, what: str) -> None:
    run(*ONE)
    run(*ALL)

    CHANGES[what](root)

    assert not is_kept(ONE)
    assert not is_kept(ALL)
    assert run(*ONE) == anew(ONE)
    assert run(*ALL) == anew(ALL)


def test_an_edit_of_the_same_size_and_time_is_seen(root: Path) -> None:
    run(*ONE)
    about = ML_101.stat()

    edit(ML_101, "143.60", "143.61")
    os.utime(ML_101, ns=(about.st_atime_ns, about.st_mtime_ns))

    assert ML_101.stat().st_size == about.st_size
    assert not is_kept(ONE)


def test_a_record_that_was_not_read_changes_nothing(root: Path) -> None:
    run(*ONE)

    edit(ML_102, "format: 1", "format: 1 ")

    assert is_kept(ONE)
    assert run(*ONE) == anew(ONE)


def test_a_check_of_all_relies_on_the_history(root: Path) -> None:
    run(*ONE)
    run(*ALL)

    git(root, "commit", "--quiet", "--allow-empty", "--message=second")

    assert is_kept(ONE)
    assert not is_kept(ALL)
    run(*ALL)
    git(root, "update-ref", "refs/remotes/origin/main", "HEAD~1")
    assert not is_kept(ALL)


def test_another_program_checks_again(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(*ONE)
    beside = root.parent / "package"
    beside.mkdir()

    monkeypatch.setattr(looks, "PACKAGE", str(beside))
    assert not is_kept(ONE)
    run(*ONE)
    assert is_kept(ONE)
    (beside / "new.py").write_text("")
    assert not is_kept(ONE)


def test_a_file_just_changed_keeps_nothing(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(looks, "TICK_NS", 10**18)

    run(*ONE)

    assert not is_kept(ONE)


def wait_for_a_tick(root: Path) -> None:
    """Wait until a file that is written now is newer than every other one."""
    probe = root.parent / "probe"
    last = max(path.stat().st_ctime_ns for path in [root, *root.rglob("*")])
    while not probe.exists() or probe.stat().st_ctime_ns <= last:
        probe.write_bytes(b"")


@pytest.mark.parametrize("file", [ML_101, ML_101.with_name("ML-109.yaml")])
def test_a_change_while_it_is_checked_keeps_nothing(
    root: Path, monkeypatch: pytest.MonkeyPatch, file: Path
) -> None:
    monkeypatch.setattr(looks, "TICK_NS", 0)
    wait_for_a_tick(root)
    run(*ONE)
    assert is_kept(ONE)
    verdicts.forget(verdicts.store_of(str(root)))
    whole = Archive.flags

    def disturbed(archive: Archive, name: str) -> object:
        found = whole(archive, name)
        file.write_bytes(ML_102.read_bytes())
        return found

    monkeypatch.setattr(Archive, "flags", disturbed)
    run(*ONE)

    assert not is_kept(ONE)


def test_every_file_that_was_opened_is_noted(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, whole = set[str](), os.open

    def noted(path: str | Path, *more: int) -> int:
        opened.add(str(path))
        return whole(path, *more)

    monkeypatch.setattr(os, "open", noted)
    run(*ONE)

    (files,) = kept_column("files")
    names = set(os.fsdecode(files).split("\0"))
    assert str(ML_101) in names
    assert names == {
        str(Path(path).relative_to(root))
        for path in opened
        if path.startswith(f"{root}/records")
    }


def kept_column(name: str) -> list[bytes]:
    base = sqlite3.connect(".git/buildsite/check.sqlite")
    rows = [row[0] for row in base.execute(f"SELECT {name} FROM verdicts")]  # noqa: S608
    base.close()
    return rows


def test_a_verdict_that_comes_out_otherwise_fails_and_nothing_is_kept(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(*ALL)
    first = run(*ONE)
    with monkeypatch.context() as other:
        other.setattr(verdicts, "drawn", lambda: True)
        other.setattr("buildsite.cli.check.Told.summary", "another")

        ran = run(*ONE)

    assert (ran.status, ran.out) == (3, "")
    assert "differs when it is made again" in ran.err
    assert not is_kept(ALL)
    assert run(*ONE) == first


def test_a_verdict_that_holds_is_drawn_to_be_made_again(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(*ONE)
    monkeypatch.setattr(verdicts, "drawn", lambda: True)

    assert not is_kept(ONE)
    assert run(*ONE) == anew(ONE)


def test_lots_are_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    bytes_drawn = iter(bytes(range(256)))
    monkeypatch.setattr(os, "urandom", lambda many: bytes([next(bytes_drawn)]))

    assert sum(verdicts.drawn() for _ in range(256)) == 256 / verdicts.ONE_IN


@pytest.mark.parametrize("spoil", [b"", b"no database", None])
def test_a_store_that_can_not_be_read_is_begun_anew(
    root: Path, spoil: bytes | None
) -> None:
    first = run(*ONE)
    place = root / ".git/buildsite/check.sqlite"
    place.write_bytes(place.read_bytes()[:5000] if spoil is None else spoil)

    assert run(*ONE) == first
    run(*ONE)
    assert is_kept(ONE)


def test_without_a_clone_nothing_is_kept(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (root / ".git").rename(tmp_path / "git")
    before = sorted(tmp_path.rglob("*"))

    assert run(*ONE) == run(*ONE)
    assert sorted(tmp_path.rglob("*")) == before


def test_a_name_that_leads_nowhere_is_refused_as_ever(root: Path) -> None:
    run(*ONE)
    words = ("check", f"nowhere/../{ML_101}")

    assert run(*words) == anew(words)
    assert run(*words).status == 2


def test_old_verdicts_make_room(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(verdicts, "MOST", 2)
    for style in verdicts.STYLES:
        run(*ONE, "--format", style)

    assert not is_kept((*ONE, "--format", "text"))
    assert is_kept((*ONE, "--format", "json"))
    assert is_kept((*ONE, "--format", "github"))


def test_the_styles_are_those_of_the_command() -> None:
    (style,) = (one.type for one in check.params if one.name == "style")
    assert isinstance(style, click.Choice)
    assert tuple(style.choices) == verdicts.STYLES


def test_random_changes_never_tell_what_is_not_so(root: Path) -> None:
    chance = random.Random(12)  # noqa: S311 - which changes, no secret
    originals = {path: path.read_text("utf-8") for path in (ML_101, ML_102, MOLD)}
    for _ in range(12):
        path, words = chance.choice([*originals]), chance.choice([ONE, ALL])
        digits = f"{chance.randrange(10)}"
        text = originals[path]
        at = chance.choice([i for i, sign in enumerate(text) if sign.isdigit()])
        path.write_text(f"{text[:at]}{digits}{text[at + 1 :]}", "utf-8")
        assert run(*words) == anew(words), (path, at, digits)
        assert run(*words) == anew(words), (path, at, digits)
