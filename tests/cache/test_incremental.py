"""
A build that takes what the last one made gives the bytes of a clean build.

Each reason to make something again is one change of a small archive, in one sequence
from the same sound archive to the next state; after each the site is compared, file by
file, with a clean build.
"""

import random
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from buildsite import build as builds
from buildsite import software, workers
from buildsite.archive.archive import Archive
from buildsite.building import steps, tasks
from buildsite.cache.unchanged import unchanged
from buildsite.errors import EnvironmentFault
from buildsite.kinds.outcome import Outcome
from buildsite.pages.site_sources import Options
from tests.archives import sound
from tests.cli.running import run
from tests.clones import clone, git

TESTS = Path("records/marsh-lane/tests")
ML_101, ML_102 = TESTS / "ML-101.yaml", TESTS / "ML-102.yaml"
MOLD = Path("records/equipment/M-04.yaml")
SAMPLE = Path("records/marsh-lane/samples/ML-S1.yaml")
LAB = Path("records/lab.yaml")
FD_01, FD_04 = TESTS / "FD-01.yaml", TESTS / "FD-04.yaml"


class Bench:
    """An archive, its site, and which tests the last build made."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.root, self.out = folder / "archive", folder / "site"
        self.clean = folder / "clean"
        self.made: list[str] = []
        self.options = Options()
        self.jobs = 1
        self.root.mkdir()
        whole = tasks.render

        def counted(work: tasks.Work, file: str) -> tasks.Made:
            self.made.append(Path(file).stem)
            return whole(work, file)

        monkeypatch.setattr(tasks, "render", counted)

    def build(self) -> builds.BuildResult:
        self.made.clear()
        return builds.build(self.root, self.out, self.options, self.jobs, cache=True)

    def same(self, what: str = "") -> list[str]:
        """Build, compare with a clean build, and tell which tests were made."""
        told = self.build()
        made = sorted(self.made)
        shutil.rmtree(self.clean, ignore_errors=True)
        anew = builds.build(self.root, self.clean, self.options, 1)
        assert differences(self.out, self.clean) == [], what
        assert (told.pages, told.tests, told.errors) == (
            anew.pages,
            anew.tests,
            anew.errors,
        ), what
        return made

    def edit(self, file: Path, old: str, new: str) -> None:
        text = (self.root / file).read_text()
        assert old in text
        (self.root / file).write_text(text.replace(old, new, 1))

    def append(self, file: Path, line: str) -> None:
        path = self.root / file
        path.write_text(f"{path.read_text()}{line}\n")

    def commit(self, subject: str) -> None:
        git(self.root, "add", "--all")
        git(self.root, "commit", "--quiet", f"--message={subject}")

    @property
    def stores(self) -> list[Path]:
        return sorted((self.root / ".git/buildsite").glob("*"))


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    made = Bench(tmp_path, monkeypatch)
    clone(made.root, sound())
    return made


@pytest.fixture
def unchecked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make nothing again that holds, so that what is made tells what was asked."""
    whole = steps.Steps.to_be_made

    def few(self: steps.Steps, names: dict[str, str]) -> list[str]:
        return [one for one in whole(self, names) if names[one] not in self.again]

    monkeypatch.setattr(steps, "AGAIN", 0)
    monkeypatch.setattr(steps.Steps, "to_be_made", few)


def differences(one: Path, other: Path) -> list[str]:
    """Paths that two sites do not have alike."""
    left, right = contents(one), contents(other)
    return sorted(p for p in {*left, *right} if left.get(p) != right.get(p))


def contents(site: Path) -> dict[str, bytes]:
    return {
        path.relative_to(site).as_posix(): path.read_bytes()
        for path in site.rglob("*")
        if path.is_file()
    }


BOTH = ["ML-101", "ML-102"]


@pytest.mark.usefixtures("unchecked")
def test_each_reason_makes_again_what_it_must_and_no_more(bench: Bench) -> None:
    assert bench.same("clean") == BOTH
    assert bench.same("nothing has changed") == []

    bench.edit(ML_101, "8.64", "8.65")
    assert bench.same("a reading, uncommitted") == ["ML-101"]
    bench.commit("ML-101: read point 3 again")
    assert bench.same("the commit of it") == ["ML-101"]
    git(bench.root, "commit", "--quiet", "--allow-empty", "--message=nothing")
    assert bench.same("a commit of nothing here") == []

    bench.edit(SAMPLE, "lean clay", "silty clay")
    assert bench.same("a sample") == ["ML-101"]
    bench.edit(MOLD, "4052.5", "4052.6")
    assert bench.same("a calibration") == BOTH
    bench.edit(LAB, "name: ", "name: New ")
    assert bench.same("the laboratory") == BOTH

    page = bench.out / "tests/ML-101/index.html"
    page.write_bytes(page.read_bytes().replace(b"ML-101", b"ML-109", 1))
    assert bench.same("an output that somebody edited") == ["ML-101"]
    (bench.out / "tests/ML-102/curve.svg").unlink()
    assert bench.same("an output that is gone") == ["ML-102"]
    (bench.out / "index.html").write_text("mine")
    assert bench.same("the first page edited") == []

    git(bench.root, "mv", str(ML_102), str(TESTS / "ML-110.yaml"))
    bench.edit(TESTS / "ML-110.yaml", "id: ML-102", "id: ML-110")
    assert bench.same("renamed") == ["ML-110"]
    other = Path("records/other/tests/ML-110.yaml")
    (bench.root / other).parent.mkdir(parents=True)
    git(bench.root, "mv", str(TESTS / "ML-110.yaml"), str(other))
    assert bench.same("moved to another project") == ["ML-110"]
    (bench.root / other).unlink()
    assert bench.same("removed") == []
    bench.commit("the laboratory, its mold, a test removed")
    assert bench.same("all of it committed") == ["ML-101"]

    git(bench.root, "reset", "--quiet", "--hard", "HEAD~2")
    assert bench.same("a history written anew") == BOTH


@pytest.mark.usefixtures("unchecked")
def test_a_merge_makes_again_what_it_brought(bench: Bench) -> None:
    bench.build()
    git(bench.root, "checkout", "--quiet", "-b", "side")
    bench.edit(ML_101, "8.64", "8.65")
    bench.commit("ML-101: on a branch")
    git(bench.root, "checkout", "--quiet", "main")
    bench.edit(ML_102, "layers: 3", "layers: 3  # as always")
    bench.commit("ML-102: on main")
    assert bench.same("before the merge") == ["ML-102"]

    git(bench.root, "merge", "--quiet", "--no-ff", "--message=merge", "side")

    assert "ML-101" in bench.same("the merge")


@pytest.mark.usefixtures("unchecked")
def test_a_field_test_at_the_place_of_another_is_flagged_until_it_is_accepted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The change of tests/faults/two-tests-at-one-place, then without the other test.
    field = Bench(tmp_path, monkeypatch)
    clone(field.root, sound(("field-density",)))
    field.same("clean")
    page = field.out / "tests/FD-04/index.html"
    assert "two-tests-at-one-place" not in page.read_text()

    field.edit(FD_04, 'station: "10+60", offset: 1.0', 'station: "10+50", offset: 2.0')
    field.edit(FD_04, 'lift: "4"', 'lift: "3"')
    assert "FD-04" in field.same("moved to the place of another")
    assert "two-tests-at-one-place" in page.read_text()
    accepted = "accepted: [{flag: two-tests-at-one-place, by: E02, reason: asked for}]"
    field.append(FD_04, accepted)
    assert field.same("accepted") == ["FD-04"]
    (field.root / FD_01).unlink()
    assert "FD-04" in field.same("the other test is gone")


@pytest.mark.usefixtures("unchecked")
def test_a_flag_across_records_is_raised_accepted_and_goes_with_the_other_test(
    bench: Bench,
) -> None:
    # The change of tests/faults/mold-mass-changed.
    bench.build()
    page = bench.out / "tests/ML-102/index.html"
    bench.edit(ML_102, "mold_mass: 2001", "mold_mass: 2007")
    bench.edit(MOLD, "mass: 2001", "mass: 2003")
    assert bench.same("a mold that weighs more") == BOTH
    assert "mold-mass-changed" in page.read_text()
    assert bench.same("nothing has changed") == []

    bench.edit(ML_101, "mold_mass: 4.41", "mold_mass: 4.42")
    assert bench.same("the other test weighs it so too") == BOTH
    assert "mold-mass-changed" not in page.read_text()
    bench.edit(ML_101, "mold_mass: 4.42", "mold_mass: 4.41")
    assert bench.same("and not so") == BOTH

    accepted = "accepted: [{flag: mold-mass-changed, by: E02, reason: a new base}]"
    bench.append(ML_102, accepted)
    assert bench.same("accepted") == ["ML-102"]
    (bench.root / ML_101).unlink()
    assert "ML-102" in bench.same("the other test is gone")


@pytest.mark.usefixtures("unchecked")
def test_an_issue_makes_the_pages_of_its_test_again(bench: Bench) -> None:
    bench.build()
    order = ("--authorized-by", "E02", "--reason", "first", "--on", "2026-03-13")

    assert run("issue", "ML-101", *order, "--root", bench.root).status == 0

    assert "ML-101" in bench.same("issued")
    assert bench.same("nothing has changed") == []


def test_several_processes_take_what_was_kept_and_give_the_same_bytes(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workers, "CHUNK", 1)  # so that two tests are worth a process
    bench.jobs = 2
    bench.same("clean")
    bench.edit(MOLD, "4052.5", "4052.6")
    bench.same("a calibration")
    bench.edit(ML_101, "8.64", "8.65")
    bench.commit("ML-101: read point 3 again")
    bench.same("the commit of a reading")


def test_the_table_of_a_standard_is_part_of_the_program() -> None:
    # Which is why another row of it is built clean: see the next test.
    (table,) = Path(software.__file__).parent.glob("standards/**/astm-d698.yaml")

    assert software.is_part(table.relative_to(software.lock().parent).as_posix())


def test_another_option_or_program_is_built_clean(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.build()

    bench.options = Options(base_url="https://lab.example/")
    assert bench.same("another address") == BOTH
    monkeypatch.setattr(software, "fingerprint", lambda: "e" * 64)
    assert bench.same("another program") == BOTH
    monkeypatch.setattr(software, "libraries", lambda: "e" * 64)
    assert bench.same("another library") == BOTH


def test_a_release_and_a_build_without_cache_keep_nothing(bench: Bench) -> None:
    builds.build(bench.root, bench.out, Options(release=True), 1, cache=True)
    builds.build(bench.root, bench.out, Options(), 1)

    assert bench.stores == []


def test_something_is_made_again_in_every_build(bench: Bench) -> None:
    bench.build()
    seen = set()
    for _ in range(12):
        bench.build()
        assert bench.made
        seen.update(bench.made)

    assert seen == {*BOTH}


def test_what_was_not_asked_is_found_and_nothing_that_was_kept_is_believed(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.build()
    before = contents(bench.out)
    whole = Archive.computed

    def otherwise(self: Archive, file: str) -> Outcome | None:
        made = whole(self, file)
        if made is not None and made.kind.group == "test":
            made.__dict__["status"] = "in-progress"  # nobody asked what this is from
        return made

    monkeypatch.setattr(Archive, "computed", otherwise)
    with pytest.raises(EnvironmentFault, match="nothing that it asked has changed"):
        bench.build()

    assert contents(bench.out) == before
    assert bench.stores == []
    assert bench.same("clean, as the program is now") == BOTH


def spoiled(data: bytes) -> Iterator[bytes]:
    """Yield what may be found in the place of a store."""
    yield data[: len(data) // 2]
    yield b""
    yield b"not a database" * 100
    yield data[:100] + bytes(len(data) - 100)


@pytest.mark.usefixtures("unchecked")
def test_a_damaged_store_is_put_aside(bench: Bench) -> None:
    bench.build()
    (store,) = (one for one in bench.stores if one.suffix == ".sqlite")
    before = contents(bench.out)

    for data in spoiled(store.read_bytes()):
        store.write_bytes(data)
        bench.build()
        assert bench.made == BOTH
        assert contents(bench.out) == before
    bench.build()

    assert bench.made == []


def test_a_store_that_can_not_be_written_changes_nothing(bench: Bench) -> None:
    (bench.root / ".git/buildsite").write_text("a file in the folder's place")

    assert bench.same() == BOTH


def test_a_build_killed_after_the_site_was_replaced_is_no_matter(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.build()
    bench.edit(ML_101, "8.64", "8.65")

    def killed(self: steps.Steps, about: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as at:
        at.setattr(steps.Steps, "save", killed)
        with pytest.raises(KeyboardInterrupt):
            bench.build()

    assert "ML-101" in bench.same("after it was killed")
    bench.edit(ML_101, "8.65", "8.64")
    bench.same("and back")


SORTS = ("digit", "digit", "line", "gone", "commit", "back", "page")


def changes(chance: random.Random, bench: Bench) -> Iterator[str]:
    """Make changes at random, and tell what each was."""
    while True:
        files = sorted(bench.root.glob("records/**/*.yaml"))
        file = chance.choice(files)
        sort = chance.choice(SORTS)
        if sort == "digit":
            text = file.read_text()
            places = [found.start() for found in re.finditer(r"(?<=\.)\d", text)]
            at = chance.choice(places or [0])
            digit = str((int(text[at]) + 1) % 10) if places else text[at]
            file.write_text(text[:at] + digit + text[at + 1 :])
        elif sort == "line":
            file.write_text(file.read_text() + "# as always\n")
        elif sort == "gone" and file.name != "lab.yaml":
            file.unlink()
        elif sort == "commit":
            git(bench.root, "add", "--all")
            git(bench.root, "commit", "--quiet", "--allow-empty", "--message=some")
        elif sort == "back":
            git(bench.root, "checkout", "--quiet", "--", "records")
        elif sort == "page":
            pages = sorted(bench.out.rglob("index.html"))
            chance.choice(pages).write_text("mine")
        yield f"{sort} {file.name}"


def test_changes_at_random_give_the_bytes_of_a_clean_build(bench: Bench) -> None:
    bench.build()
    made = changes(random.Random(12), bench)  # noqa: S311 - the same each time
    for _ in range(10):
        bench.same(next(made))


def plain(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> bool:
    """Whether the command says at once that nothing has changed; it tells the same."""
    monkeypatch.chdir(bench.root)
    found = unchanged(["build", "--out", str(bench.out)], str(Path.cwd()))
    if found is None:
        return False
    ran = run("build", "--out", bench.out)
    assert (ran.status, ran.out) == (0, f"{found[1]}\n")
    assert found[1] == (bench.out / "index.html").resolve().as_uri()
    assert ran.err.splitlines() == found[0]
    return True


def test_a_build_of_nothing_is_told_by_the_state_of_the_files(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not plain(bench, monkeypatch)
    told = bench.build()
    assert plain(bench, monkeypatch)
    (lines, _) = unchanged(["build", "--out", str(bench.out)], str(Path.cwd())) or (
        [],
        "",
    )
    assert lines == [f"{told.tests} tests, {told.pages} pages"]
    elsewhere = ["build", "--root", str(bench.root), "--out", str(bench.out)]
    assert unchanged(elsewhere, str(bench.root.parent)) is not None
    assert unchanged(["build", "--out", str(bench.out)], str(bench.root.parent)) is None

    for change in (
        lambda: bench.edit(ML_101, "8.64", "8.65"),
        lambda: bench.commit("ML-101: read point 3 again"),
        lambda: (bench.out / "style.css").write_text("mine"),
        lambda: (bench.out / "manifest.json").write_bytes(
            (bench.out / "manifest.json").read_bytes() + b" "
        ),
        lambda: (bench.root / "records/new.txt").write_text("x"),
        lambda: (bench.root / "records/empty").mkdir(),
        lambda: (bench.root / "records/empty/other.txt").write_text("x"),
        lambda: (bench.root / ".gitignore").write_text("x\n"),
        lambda: (bench.out / "mine.txt").write_text("x"),
        lambda: (bench.out / "mine.txt").unlink(),
        lambda: git(bench.root, "commit", "-q", "--allow-empty", "--message=nothing"),
    ):
        change()
        assert not plain(bench, monkeypatch)
        bench.build()
        assert plain(bench, monkeypatch)
    bench.options = Options(base_url="https://lab.example/")
    bench.build()
    assert not plain(bench, monkeypatch)
