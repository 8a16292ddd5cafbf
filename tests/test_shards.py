"""A site built in parts has the bytes of one built whole, or is refused."""

import json
import shutil
from pathlib import Path

import pytest

from buildsite.build import build
from buildsite.errors import EnvironmentFault
from buildsite.pages.site_sources import Options
from buildsite.shards import Part, build_shard, build_survey, merge_shards
from tests.benchmarks.archive import make_archive
from tests.cli.running import run
from tests.clones import git

COUNT = 3


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Tests with edits and issued revisions; no test writes to it."""
    root = tmp_path_factory.mktemp("archive") / "lab"
    make_archive(root, 17, "revisions")
    return root


@pytest.fixture(scope="module")
def shards(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its three shards."""
    folder = tmp_path_factory.mktemp("shards")
    for number in range(1, COUNT + 1):
        out = folder / f"shard-{number}"
        build_shard(root, out, Options(), Part(number, COUNT), 1)
    return folder


@pytest.fixture
def copied(shards: Path, tmp_path: Path) -> Path:
    """A copy of the shards, to spoil."""
    return Path(shutil.copytree(shards, tmp_path / "shards"))


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def refused(root: Path, folder: Path, tmp_path: Path, options: Options) -> str:
    """Why a merge is refused; it leaves no site."""
    with pytest.raises(EnvironmentFault) as fault:
        merge_shards(root, tmp_path / "site", options, folder, 1)
    assert not (tmp_path / "site").exists()
    return fault.value.cause


def test_every_test_is_in_one_part() -> None:
    for tests in range(12):
        for count in (1, 2, 5, 20):
            parts = [Part(i, count).of(range(tests)) for i in range(1, count + 1)]
            assert [test for part in parts for test in part] == [*range(tests)]
            assert max(map(len, parts)) - min(map(len, parts)) <= 1


def test_the_joined_site_has_the_bytes_of_one_built_whole(
    root: Path, shards: Path, tmp_path: Path
) -> None:
    whole = build(root, tmp_path / "whole", Options(), 1)
    joined = merge_shards(root, tmp_path / "joined", Options(), shards, 2)

    assert contents(tmp_path / "joined") == contents(tmp_path / "whole")
    assert joined == whole


def test_so_has_the_joined_site_for_clients(root: Path, tmp_path: Path) -> None:
    words = ("--release", "--base-url", "https://lab.example/", "--root", root)
    site = run("build", *words, "--out", tmp_path / "whole")
    for part in ("1/2", "2/2"):
        out = tmp_path / "shards" / part[0]
        assert run("build", *words, "--shard", part, "--out", out).status == 0
    out = tmp_path / "joined"
    joined = run("build", *words, "--merge", tmp_path / "shards", "--out", out)

    assert (site.status, joined.status) == (0, 0), joined.err
    assert contents(tmp_path / "joined") == contents(tmp_path / "whole")


def test_a_shard_of_surveys_made_in_parts_has_the_bytes_of_one_that_reads_all(
    root: Path, shards: Path, tmp_path: Path
) -> None:
    for number in (1, 2):
        out = tmp_path / "surveys" / str(number)
        words = ("--root", root, "--survey", f"{number}/2", "--out", out)
        assert run("build", *words).status == 0
    out = tmp_path / "shard-2"
    of_two = ("--shard", f"2/{COUNT}", "--surveys", tmp_path / "surveys")

    ran = run("build", "--root", root, *of_two, "--out", out)

    assert ran.status == 0, ran.err
    assert contents(out) == contents(shards / "shard-2")


def test_surveys_that_are_not_of_all_tests_or_of_this_commit_are_refused(
    root: Path, shards: Path, tmp_path: Path
) -> None:
    out, surveys = tmp_path / "out", tmp_path / "surveys"
    build_survey(root, surveys / "1", Options(), Part(1, 2), 1)
    with pytest.raises(EnvironmentFault, match="missing survey: 2/2; missing test: "):
        build_shard(root, out, Options(), Part(1, 2), 1, surveys=surveys)
    build_survey(root, surveys / "2", Options(), Part(2, 2), 1)
    other = Options(base_url="https://other.example/")
    with pytest.raises(EnvironmentFault, match=r"Survey 1/2 in .* another options"):
        build_shard(root, out, other, Part(1, 2), 1, surveys=surveys)
    told = surveys / "2/shard/0.json"
    told.write_bytes(told.read_bytes() + b" ")
    with pytest.raises(EnvironmentFault, match=r"shard/0\.json is not as written"):
        build_shard(root, out, Options(), Part(1, 2), 1, surveys=surveys)
    with pytest.raises(EnvironmentFault, match="can't be read"):
        build_shard(root, out, Options(), Part(1, 2), 1, surveys=shards)
    assert not out.exists()


def test_a_missing_shard_is_named(root: Path, copied: Path, tmp_path: Path) -> None:
    shutil.rmtree(copied / "shard-2")

    said = refused(root, copied, tmp_path, Options())

    assert "missing shard: 2/3; missing test: records/p0001/tests/P0001-006" in said


def test_a_shard_that_is_there_twice_is_named(
    root: Path, copied: Path, tmp_path: Path
) -> None:
    shutil.copytree(copied / "shard-3", copied / "again")

    said = refused(root, copied, tmp_path, Options())

    assert "shard twice: 3/3; test twice: records/p0001/tests/P0001-012" in said


def test_a_shard_of_another_division_is_named(
    root: Path, copied: Path, tmp_path: Path
) -> None:
    build_shard(root, copied / "shard-3", Options(), Part(3, 4), 1)

    said = refused(root, copied, tmp_path, Options())

    assert "missing shard: 1/4, 2/4, 4/4; " in said
    assert "shard of another division: 1/3, 2/3; " in said


@pytest.mark.parametrize(
    ("options", "word"),
    [
        (Options(base_url="https://other.example/"), "options"),
        (Options(release=True), "options"),
        (Options(previous="sha256:1"), "manifest published before"),
    ],
)
def test_shards_with_other_options_are_refused(
    root: Path, shards: Path, tmp_path: Path, options: Options, word: str
) -> None:
    assert f"built with another {word}: " in refused(root, shards, tmp_path, options)


@pytest.mark.parametrize(
    ("key", "word"), [("commit", "commit"), ("software", "program"), ("lock", "lock")]
)
def test_a_shard_of_another_commit_or_program_is_refused(
    root: Path, copied: Path, tmp_path: Path, key: str, word: str
) -> None:
    path = copied / "shard-2/manifest.json"
    about = json.loads(path.read_bytes())
    path.write_text(json.dumps({**about, key: "another"}), "utf-8")

    said = refused(root, copied, tmp_path, Options())

    assert f"Shard 2/3 in {copied / 'shard-2'} was built with another {word}" in said


@pytest.mark.parametrize("how", ["altered", "lost"])
@pytest.mark.parametrize("name", ["shard.json", "index.html"])
def test_a_shard_that_did_not_arrive_whole_is_refused(
    root: Path, copied: Path, tmp_path: Path, how: str, name: str
) -> None:
    path = next((copied / "shard-1").rglob(name))
    if how == "lost":
        path.unlink()
    else:
        path.write_bytes(path.read_bytes() + b" ")

    with pytest.raises(
        EnvironmentFault, match=r"is not as written|is missing|can't be read"
    ):
        merge_shards(root, tmp_path / "site", Options(), copied, 1)

    assert not (tmp_path / "site").exists()


def test_records_that_are_not_committed_make_no_shard(
    root: Path, shards: Path, tmp_path: Path
) -> None:
    lab = Path(shutil.copytree(root, tmp_path / "lab"))
    path = lab / "records/p0001/tests/P0001-001.yaml"
    path.write_bytes(path.read_bytes() + b"# more\n")

    with pytest.raises(EnvironmentFault, match="not as committed"):
        build_shard(lab, tmp_path / "out", Options(), Part(1, 2), 1)
    with pytest.raises(EnvironmentFault, match="not as committed"):
        merge_shards(lab, tmp_path / "site", Options(), shards, 1)
    git(lab, "commit", "--quiet", "--all", "--message", "more")
    assert "another commit: " in refused(lab, shards, tmp_path, Options())


@pytest.mark.parametrize("part", ["0/3", "4/3", "1", "a/b", "1/0"])
def test_a_part_that_is_none_is_a_usage_error(root: Path, part: str) -> None:
    assert run("build", "--root", root, "--out", "x", "--shard", part).status == 2


def test_a_shard_needs_a_folder_of_its_own(root: Path, shards: Path) -> None:
    assert run("build", "--root", root, "--shard", "1/2").status == 2
    words = ("--shard", "1/2", "--merge", shards)
    assert run("build", "--root", root, "--out", "x", *words).status == 2


def test_surveys_are_for_a_shard(root: Path, shards: Path) -> None:
    assert run("build", "--root", root, "--survey", "1/2").status == 2
    assert run("build", "--root", root, "--out", "x", "--surveys", shards).status == 2


def test_a_folder_without_shards_is_refused(root: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()

    assert "holds no shards" in refused(root, tmp_path / "empty", tmp_path, Options())
