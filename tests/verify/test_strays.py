"""What stands beside issued items and belongs to none of them is told."""

from pathlib import Path

import pytest

from tests.clones import git
from tests.issuing.clones import TESTS, edit
from tests.verify.tampering import (
    CHAIN,
    RECORD,
    Fault,
    by_another,
    caught,
    chained,
    commit,
    issue,
    items,
    sound,
)
from tests.verify.tampering import put as forge


def put(root: Path, name: str, data: bytes = b"<p>108.0") -> str:
    path = root / name
    path.parent.mkdir(exist_ok=True, parents=True)
    path.write_bytes(data)
    return commit(root, f"add {name}")


@pytest.mark.parametrize(
    ("name", "revision", "words"),
    [
        ("ML-101.r02.html", 2, "without an issued item"),
        ("ML-101.r01.html", 1, "r1 keeps ML-101.r1.html and ML-101.r1.json"),
        ("ML-101.r00.json", 0, "r0 keeps ML-101.r0.html and ML-101.r0.json"),
        ("ML-101.R0.html", 0, "r0 keeps"),
        ("ML-101.r0.HTML", 0, "r0 keeps"),
        ("ML-101.r0.htm", 0, "r0 keeps"),
        ("ml-101.r0.html", 0, "r0 keeps"),
        ("ML-101.r7.html", 7, "without an issued item"),
        ("ML-101.r0.pdf", 0, "r0 keeps"),
    ],
)
def test_a_name_like_that_of_a_kept_file_is_told(
    root: Path, name: str, revision: int, words: str
) -> None:
    file = f"{TESTS}/{name}"
    broke = put(root, file)

    caught(root, Fault("ML-101", revision, file, broke), words)


def test_a_report_of_a_test_never_issued_is_told(root: Path) -> None:
    file = f"{TESTS}/ML-909.r1.html"
    broke = put(root, file)

    caught(root, Fault("ML-909", 1, file, broke), "without an issued item")


def test_a_report_beside_an_assessment_is_told(root: Path) -> None:
    judged = {
        **by_another(items(root)[-1]),
        "kind": "assessment",
        "assesses": "1",
        "reason": "looked at again",
    }
    for key in ("result", "report", "results"):
        judged.pop(key)
    forge(root, chained([*items(root), judged]))
    commit(root, "assessed")
    assert sound(root)
    file = f"{TESTS}/ML-101.r2.html"
    broke = put(root, file)

    words = "r2 is an assessment: it keeps none"
    caught(root, Fault("ML-101", 2, file, broke), words)


def test_a_picture_of_the_bench_is_no_stray(root: Path) -> None:
    put(root, f"{TESTS}/ML-101.jpg")
    put(root, f"{TESTS}/ML-101-bench.pdf")
    put(root, "records/marsh-lane/drawing.r2.pdf")

    assert sound(root)


@pytest.mark.parametrize(
    ("was", "now", "line", "comment"),
    [
        (b"format: 1\n", b"# superseded, see r7\nformat: 1\n", 1, "# superseded"),
        (b"test: ML-101\n", b"test: ML-101  # void\n", 2, "# void"),
        (b"test: ML-101\n", b'test: "ML-101"# void\n', 2, "# void"),
        (b"revisions:\n", b"revisions:\n# r0 is void\n", 4, "# r0 is void"),
    ],
)
def test_a_comment_in_an_issued_file_is_told(
    root: Path, was: bytes, now: bytes, line: int, comment: str
) -> None:
    data = (root / CHAIN).read_bytes()
    assert data.count(was) == 1
    broke = put(root, CHAIN, data.replace(was, now))

    words = f"a comment in line {line}, which no item's digest covers: {comment}"
    caught(root, Fault("ML-101", None, CHAIN, broke), words)


def test_a_sign_of_a_number_in_a_reason_is_no_comment(root: Path) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.61")
    issue(root, "ML-101", reason='sheet #4 and # 5, said "so"')

    assert sound(root)


ATTIC = ("records/.attic", "records/marsh-lane/.attic", f"{TESTS}/.old")


@pytest.mark.parametrize("folder", ATTIC)
def test_an_issued_test_moved_where_nothing_is_read_is_lost(
    root: Path, folder: str
) -> None:
    (root / folder).mkdir(parents=True)
    for path in sorted((root / TESTS).glob("ML-101*")):
        git(root, "mv", str(path), str(root / folder))
    broke = commit(root, "tidy up")

    file = f"{folder}/ML-101.yaml"
    caught(root, Fault("ML-101", None, file, broke), "it is lost")


def test_a_folder_that_is_no_projects_is_not_read_either(root: Path) -> None:
    (root / "records/old").mkdir()
    for path in sorted((root / TESTS).glob("ML-101*")):
        git(root, "mv", str(path), str(root / "records/old"))
    broke = commit(root, "tidy up")

    file = "records/old/ML-101.yaml"
    caught(root, Fault("ML-101", None, file, broke), "it is lost")


@pytest.mark.parametrize("to", ["records/.attic/M-04.yaml", "records/.M-04.yaml"])
def test_a_record_that_was_never_issued_is_lost_there_too(root: Path, to: str) -> None:
    first = sorted((root / "records/equipment").glob("*.yaml"))[0]
    to = to.replace("M-04", first.stem)
    (root / to).parent.mkdir(exist_ok=True)
    git(root, "mv", str(first), to)
    broke = commit(root, "tidy up")

    caught(root, Fault("", None, to, broke), f"the record of {first.stem}", alone=False)


def test_a_project_hidden_below_its_own_folder_is_lost(root: Path) -> None:
    to = "records/marsh-lane/.old/project.yaml"
    (root / to).parent.mkdir()
    git(root, "mv", "records/marsh-lane/project.yaml", to)
    broke = commit(root, "tidy up")

    fault = Fault("", None, to, broke)
    caught(root, fault, "the record of marsh-lane", alone=False)


def test_nor_does_another_name_there_hide_it(root: Path) -> None:
    first = sorted((root / "records/equipment").glob("*.yaml"))[0]
    to = "records/.attic/anything.yaml"
    (root / to).parent.mkdir()
    git(root, "mv", str(first), to)
    broke = commit(root, "tidy up")

    caught(root, Fault("", None, to, broke), f"the record of {first.stem}", alone=False)


def test_a_copy_of_a_record_that_stays_is_nobodys_loss(root: Path) -> None:
    data = (root / "records/marsh-lane/project.yaml").read_bytes()
    put(root, "records/.drafts/copy.yaml", data)

    assert sound(root)


def test_a_draft_that_was_never_a_record_is_nobodys_loss(root: Path) -> None:
    put(root, "records/.drafts/ML-300.yaml", b"kind: moisture-density\n")
    put(root, "records/.drafts/lab.yaml", b"kind: laboratory\n")

    assert sound(root)
