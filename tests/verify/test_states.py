"""What verifies in other states of an archive: withdrawn, resting on others, nested."""

import json
import shutil
from pathlib import Path

import pytest

from buildsite.record.canonical import digest
from buildsite.record.issued import whole_digest
from tests.cli.running import run
from tests.clones import git, write
from tests.issuing.clones import TESTS, lab
from tests.verify.tampering import (
    CHAIN,
    Fault,
    by_another,
    caught,
    chained,
    commit,
    head,
    issue,
    items,
    put,
    sound,
    verify,
)

OTHER = f"{TESTS}/ML-102.issued.yaml"


def test_a_withdrawn_test_is_sound_and_its_notice_is_kept(root: Path) -> None:
    issue(root, "ML-102", "--withdraw", reason="the sample was another one")
    assert sound(root)

    notice = f"{TESTS}/ML-102.r1.html"
    (root / notice).unlink()
    broke = commit(root, "no notice")
    caught(root, Fault("ML-102", 1, notice, broke), "is missing")


def test_what_was_withdrawn_is_computed_again_all_the_same(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    issued = head(root, "HEAD~2")
    issue(root, "ML-102", "--withdraw", reason="the sample was another one")
    monkeypatch.setattr("buildsite.kinds.reporting.rounded", lambda value, rule: "1")

    caught(root, Fault("ML-102", 0, OTHER, issued), "recomputed", alone=False)


@pytest.mark.parametrize("right", [True, False])
def test_an_item_of_another_test_is_an_input_by_the_digest_of_the_whole_item(
    root: Path, right: bool
) -> None:
    stood = items(root)
    sum = whole_digest(items(root, "ML-102")[0]) if right else "sha256:" + "0" * 64
    inputs = {**stood[-1]["inputs"], f"{OTHER}#0": sum}
    kept = {x: (root / f"{TESTS}/ML-101.r1.{x}").read_bytes() for x in ("html", "json")}
    item = {**by_another(stood[-1]), "inputs": inputs}
    said = json.loads(kept["json"])
    said |= {"revision": 2, "inputs": inputs, "software": item["software"]}
    kept["json"] = json.dumps(said).encode()
    trees = chained([*stood, {**item, "result": digest(kept["json"])}])
    old, new = (tree["content"].encode() for tree in trees[-2:])
    kept["html"] = kept["html"].replace(old, new)
    trees[-1]["report"] = digest(kept["html"])
    write(root, {f"{TESTS}/ML-101.r2.{x}": data for x, data in kept.items()})
    put(root, trees)
    came = commit(root, "Issue ML-101 r2")

    if right:
        assert sound(root)
    else:
        words = f"no reachable commit holds: {OTHER}#0"
        caught(root, Fault("ML-101", 2, OTHER, came), words)


def test_an_item_without_inputs_is_caught(root: Path) -> None:
    stood = items(root)
    kept = {x: (root / f"{TESTS}/ML-101.r1.{x}").read_bytes() for x in ("html", "json")}
    write(root, {f"{TESTS}/ML-101.r2.{x}": data for x, data in kept.items()})
    bare = {key: value for key, value in stood[-1].items() if key != "inputs"}
    put(root, chained([*stood, bare]))
    came = commit(root, "Issue ML-101 r2")

    caught(root, Fault("ML-101", 2, CHAIN, came), "names no input")


def test_an_archive_in_a_folder_of_its_repository(
    untouched: Path, tmp_path: Path
) -> None:
    outer = tmp_path / "outer"
    git(tmp_path, "clone", "--quiet", str(untouched), str(outer))
    (outer / "lab").mkdir()
    git(outer, "mv", "records", "lab/records")
    git(outer, "commit", "--quiet", "--message=into a folder")
    inner, site = outer / "lab", tmp_path / "site"

    # All of it moved in one commit: its past came along.
    assert sound(inner)

    shutil.rmtree(outer)
    outer.mkdir()
    shutil.copytree(untouched / "records", inner / "records")
    for path in (inner / TESTS).glob("ML-10?.*.*"):
        path.unlink()
    git(outer, "init", "--quiet", "--initial-branch=main")
    git(outer, "config", "user.name", "A")
    git(outer, "config", "user.email", "a@lab.example")
    write(outer, {".gitattributes": b"*.html -text\n*.json -text\n"})
    commit(outer, "first")
    issue(inner, "ML-101", reason="first issue")
    assert run("build", "--root", inner, "--out", site, "--jobs", "1").status == 0
    assert sound(inner, "--site", site)


def test_a_shallow_clone_can_not_be_judged(untouched: Path, tmp_path: Path) -> None:
    shallow = tmp_path / "shallow"
    git(tmp_path, "clone", "--quiet", "--depth=1", untouched.as_uri(), str(shallow))

    ran = verify(shallow)

    assert (ran.status, ran.out) == (3, "")
    assert "git fetch --unshallow" in ran.err


def test_an_archive_of_which_nothing_was_issued_is_sound(tmp_path: Path) -> None:
    assert sound(lab(tmp_path))
