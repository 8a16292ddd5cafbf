"""Manifests, items, dates and sites made to stop the program: each gets its answer."""

import json
import os
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from buildsite.record.canonical import digest
from buildsite.record.proof import Fault
from buildsite.verifying.items import Items
from tests.cli.running import Ran, run
from tests.clones import WHO, git, write
from tests.issuing.clones import TESTS, lab
from tests.verify.tampering import (
    by_another,
    chained,
    commit,
    issue,
    items,
    published,
    put,
    verify,
)

MANY = "9" * 5000
DEEP = 100_000
Manifest = dict[str, Any]


def answered(ran: Ran) -> bool:
    """Whether there was a verdict or a fault of the environment, and no bug."""
    return ran.status in (1, 3) and "Internal error" not in ran.err


def rewritten(path: Path, change: Callable[[Manifest], object]) -> Path:
    content = json.loads(path.read_bytes())
    change(content)
    path.write_text(json.dumps(content))
    return path


VALUES: list[object] = [
    None,
    10**40,
    "",
    MANY,
    "--all",
    "../../x",
    "\x00",
    "\udcff",
    [[]],
    {"a": {"b": []}},
]
KEYS = [
    "format",
    "commit",
    "records_differ_from_commit",
    "files",
    "software",
    "lock",
    "options",
    "tests",
    "previous",
]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A laboratory that issued one report. No test may write to it."""
    root = lab(tmp_path_factory.mktemp("small") / "lab")
    issue(root, "ML-101", reason="first issue")
    return root


@pytest.fixture
def _proved_once(small: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """
    For a test that tampers with a manifest alone: its items are proved once.

    What is then compared with the manifest is compared each time.
    """
    known: dict[bool, list[Fault]] = {}
    proved = Items.faults

    def faults(items: Items, *more: Any) -> Iterator[Fault]:
        compared = items.recomputing.base is not None
        if compared not in known:
            known[compared] = list(proved(items, *more))
        yield from known[compared]

    monkeypatch.setattr(Items, "faults", faults)


@pytest.mark.usefixtures("_proved_once")
@pytest.mark.parametrize("key", KEYS)
def test_no_value_in_a_manifest_is_a_bug_of_ours(
    small: Path, tmp_path: Path, key: str
) -> None:
    root = small
    path = published(root, tmp_path)
    whole = path.read_bytes()
    site = tmp_path / "site"
    site.mkdir()
    for value in VALUES:
        path.write_bytes(whole)
        rewritten(path, lambda content, v=value: content.__setitem__(key, v))  # type: ignore[misc]
        (site / "manifest.json").write_bytes(path.read_bytes())

        ran = verify(root, "--against", path)
        shown = verify(root, "--site", site)

        assert ran.status in (0, 1, 3), (value, ran.err)
        assert answered(shown), (value, shown.err)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("software", {"fingerprint": 3}),
        ("software", {"fingerprint": "f", "version": []}),
        ("files", {"a.html": 3}),
        ("files", {f"tests/ML-101/r{MANY}/index.html": "sha256:1"}),
        ("tests", {"ML-101": [3]}),
        ("tests", {MANY: ["sha256:1"]}),
        ("tests", {"ML-101": ["x"] * 10_000}),
        ("options", {"release": "yes"}),
        ("options", {"base_url": "\x00", "release": True}),
    ],
)
def test_nor_is_any_inside_one(
    small: Path, tmp_path: Path, key: str, value: object
) -> None:
    root = small
    path = published(root, tmp_path)
    rewritten(path, lambda content: content.__setitem__(key, value))
    site = tmp_path / "site"
    site.mkdir()
    (site / "manifest.json").write_bytes(path.read_bytes())

    assert verify(root, "--against", path).status in (0, 1, 3)
    assert answered(verify(root, "--site", site))


@pytest.mark.parametrize(
    "text",
    ["[" * DEEP, '{"a":' * DEEP, "1" * 5000, "NaN", '"\\ud800"', "", "\x00"],
    ids=["lists", "mappings", "a number", "NaN", "half", "empty", "nul"],
)
def test_a_manifest_of_nothing_but_depth(
    small: Path, tmp_path: Path, text: str
) -> None:
    path = tmp_path / "manifest.json"
    path.write_text(text)

    ran = verify(small, "--against", path)

    assert ran.status == 3
    assert "manifest" in ran.err


@pytest.mark.parametrize("number", [MANY, "99999999999", "-1", "٣"])
def test_a_printed_revision_beyond_all_numbers(small: Path, number: str) -> None:
    ran = verify(small, "--report", "ML-101", f"r{number}", "sha256:1")

    assert ran.status in (1, 2)
    assert "Internal error" not in ran.err


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("issued_on", "9999-12-31"),
        ("issued_on", "0001-01-01"),
        ("revision", MANY),
        ("assesses", MANY),
        ("used_form", MANY),
        ("issued_to", [["x"]]),
        ("breaks", MANY),
        ("authorized_by", MANY),
    ],
)
def test_an_item_that_states_what_can_not_be(
    root: Path, field: str, value: object
) -> None:
    first, second = items(root)
    first, second = chained([first, {**second, field: value}])
    put(root, [first, {**second, field: value}])
    commit(root, "hostile")

    assert answered(verify(root))
    for words in (("check",), ("build", "--jobs", "1")):
        ran = run(*words, "--root", root)
        assert ran.status in (0, 1, 3), ran.err


@pytest.mark.parametrize(
    "seconds", ["0", "253402300799", "253402300800", "99999999999999", "4102444800"]
)
def test_a_commit_of_an_absurd_day(root: Path, seconds: str) -> None:
    when = {name: f"@{seconds} +1400" for name in WHO if name.endswith("DATE")}
    kept = {k: v for k, v in os.environ.items() if not k.startswith("GIT_")}
    record = root / "records/marsh-lane/tests/ML-101.yaml"
    record.write_bytes(record.read_bytes().replace(b"8.60", b"8.61"))
    subprocess.run(
        ["git", "-C", root, "commit", "--quiet", "--all", "--message=x"],
        env=kept | WHO | when,
        check=True,
    )

    for words in (
        ("verify",),
        ("history", "ML-101"),
        ("diff",),
        ("check",),
        ("build", "--jobs", "1"),
    ):
        ran = run(*words, "--root", root)
        assert ran.status in (0, 1, 3), (words, ran.err)
        assert "Internal error" not in ran.err


@pytest.mark.parametrize("name", ["pipe.html", "manifest.json", "tests"])
def test_a_pipe_in_a_site_stops_nobody(small: Path, tmp_path: Path, name: str) -> None:
    root = small
    site = tmp_path / "site"
    site.mkdir()
    (site / "manifest.json").write_bytes(published(root, tmp_path).read_bytes())
    (site / name).unlink(missing_ok=True)
    os.mkfifo(site / name)

    assert answered(verify(root, "--site", site))


def test_git_is_given_no_option_of_a_manifest(root: Path, tmp_path: Path) -> None:
    path = published(root, tmp_path)
    rewritten(path, lambda content: content.__setitem__("commit", "--orphan=x"))

    assert answered(verify(root, "--against", path))
    assert git(root, "branch", "--list", "x") == ""


def test_a_build_over_a_site_whose_manifest_is_a_pipe(
    root: Path, tmp_path: Path
) -> None:
    site = tmp_path / "site"
    site.mkdir()
    os.mkfifo(site / "manifest.json")

    ran = run("build", "--jobs", "1", "--out", site, "--root", root)

    assert answered(ran)
    assert (site / "manifest.json").is_fifo()


def test_a_build_after_a_manifest_of_nothing_but_depth(
    root: Path, tmp_path: Path
) -> None:
    path = tmp_path / "manifest.json"
    path.write_text("[" * DEEP)

    words = ("build", "--jobs", "1", "--release", "--previous", path)
    ran = run(*words, "--out", tmp_path / "site", "--root", root)

    assert ran.status in (0, 1, 3), ran.err


@pytest.mark.parametrize(
    ("part", "value"),
    [
        (("points",), "x"),
        (("points",), [1]),
        (("points", 0, "dry_density"), "x"),
        (("results",), []),
        (("results", "maximum_dry_density", "value"), "x"),
        (("results", "maximum_dry_density", "value"), 10**400),
        (("flags",), [1]),
        (("curve",), "x"),
        (("curve", "line"), [[1]]),
        (("curve", "line", 0), [float("nan"), 1]),
        (("curve", "specific_gravity"), "x"),
        (("curve", "water_density"), [1]),
        (("curve", "density_unit"), ["lb/ft3"]),
    ],
)
def test_a_kept_result_that_is_none_is_told_and_drawn_nowhere(
    root: Path, part: tuple[str | int, ...], value: object
) -> None:
    # Of another program, with digests that fit: no drawing again would show it.
    first, second = items(root)
    second = by_another(second)
    name = f"{TESTS}/ML-101.r1.json"
    said: Any = json.loads((root / name).read_bytes())
    said["software"] = second["software"]
    within = said
    for key in part[:-1]:
        within = within[key]
    within[part[-1]] = value
    data = json.dumps(said).encode()
    write(root, {name: data})
    put(root, chained([first, {**second, "result": digest(data)}]))
    commit(root, "hostile")

    ran = verify(root)
    assert ran.status == 1, ran.err
    assert "the kept result can't be read as one" in ran.out
    for words in (("check",), ("build", "--jobs", "1", "--out", root / "site")):
        ran = run(*words, "--root", root)
        assert ran.status in (0, 1), ran.err


def test_a_kept_result_without_a_line_is_drawn_without_it(root: Path) -> None:
    first, second = items(root)
    second = by_another(second)
    name = f"{TESTS}/ML-101.r1.json"
    said: Any = json.loads((root / name).read_bytes())
    said["curve"]["line"] = None
    data = json.dumps(said).encode()
    write(root, {name: data})
    put(root, chained([first, {**second, "result": digest(data)}]))
    commit(root, "hostile")

    ran = run("build", "--jobs", "1", "--out", root / "site", "--root", root)

    assert ran.status == 0, ran.err
