"""Items of the program in use are made again: nothing else may stand in them."""

import json
from pathlib import Path

import pytest

from buildsite import software
from buildsite.issuing import planning
from buildsite.record.canonical import digest
from tests.clones import git, write
from tests.issuing.clones import TESTS, edit
from tests.verify.tampering import (
    CHAIN,
    RECORD,
    Fault,
    Item,
    caught,
    chained,
    commit,
    issue,
    items,
    put,
    sound,
)

MASS = "mold_and_wet_soil: 8.6"
OTHER = "marsh-lane/tests/ML-102.yaml"
WARNED = f"{TESTS}/ML-102.r1.json"
ONTO = ("--onto", "main")


@pytest.fixture
def branch(root: Path) -> Path:
    """A branch on which a mass is read again: what it issues is new against main."""
    git(root, "checkout", "--quiet", "-b", "work")
    edit(root, RECORD, f"{MASS}0", f"{MASS}2")
    return root


def issued_by_hand(root: Path, reason: str = "Mass of point 3 again") -> list[Item]:
    """Issue without a commit; give the items as they stand."""
    issue(root, "ML-101", "--no-commit", reason=reason)
    return items(root)


def put_kept(root: Path, trees: list[Item], html: bytes, result: bytes = b"") -> str:
    """Put other kept files beside the last item, its digests corrected; commit."""
    last, number = trees[-1], trees[-1]["revision"]
    files = {f"{TESTS}/ML-101.r{number}.html": html}
    if result:
        files[f"{TESTS}/ML-101.r{number}.json"] = result
        last["result"] = digest(result)
        content = last["content"].encode()
        trees = chained(trees)
        last = trees[-1]
        html = html.replace(content, last["content"].encode())
        files[f"{TESTS}/ML-101.r{number}.html"] = html
    last["report"] = digest(html)
    write(root, files)
    put(root, trees)
    return commit(root, f"Issue ML-101 r{number}")


def kept(root: Path, suffix: str = "html", number: int = 2) -> bytes:
    return (root / f"{TESTS}/ML-101.r{number}.{suffix}").read_bytes()


def density(tree: Item) -> str:
    """The reported maximum, without its unit."""
    return str(tree["results"]["maximum_dry_density"]).partition(" ")[0]


@pytest.mark.parametrize("onto", [(), ONTO])
def test_what_issue_writes_is_sound(branch: Path, onto: tuple[str, ...]) -> None:
    issued_by_hand(branch)
    commit(branch, "Issue ML-101 r2")

    assert sound(branch, *onto)


@pytest.mark.parametrize("onto", [(), ONTO])
@pytest.mark.parametrize("comment", [True, False])
def test_a_kept_report_prints_no_other_number_than_its_item(
    branch: Path, onto: tuple[str, ...], comment: bool
) -> None:
    trees = issued_by_hand(branch)
    right = density(trees[-1])
    wrong = f"{float(right) + 10:.1f}"
    html = kept(branch).replace(right.encode(), wrong.encode())
    end = f"<!-- {right} -->" if comment else f"<p>{right}</p>\n</body>"
    html = html + end.encode() if comment else html.replace(b"</body>", end.encode())
    assert wrong.encode() in html
    came = put_kept(branch, trees, html)

    file = f"{TESTS}/ML-101.r2.html"
    caught(branch, Fault("ML-101", 2, file, came), "the kept report differs", *onto)


@pytest.mark.parametrize("onto", [(), ONTO])
def test_a_kept_result_holds_no_other_number_than_its_inputs_give(
    branch: Path, onto: tuple[str, ...]
) -> None:
    trees = issued_by_hand(branch)
    said = json.loads(kept(branch, "json"))
    said["uncertainty"] = {"maximum_dry_density": {"expanded": 0.1, "k": 2}}
    data = (json.dumps(said, indent=2, sort_keys=True) + "\n").encode()
    came = put_kept(branch, trees, kept(branch), data)

    file = f"{TESTS}/ML-101.r2.json"
    caught(branch, Fault("ML-101", 2, file, came), "the kept result differs", *onto)


@pytest.mark.parametrize("onto", [(), ONTO])
def test_a_false_report_under_a_true_one_is_caught(
    branch: Path, onto: tuple[str, ...]
) -> None:
    trees = issued_by_hand(branch)
    right = density(trees[-1])
    html = kept(branch).replace(right.encode(), b"199.9")
    came = put_kept(branch, trees, html.replace(b"</body>", f"{right}</body>".encode()))
    edit(branch, RECORD, f"{MASS}2", f"{MASS}1")
    issue(branch, "ML-101", reason="Mass of point 3 once more")

    file = f"{TESTS}/ML-101.r2.html"
    caught(branch, Fault("ML-101", 2, file, came), "the kept report differs", *onto)


@pytest.mark.parametrize("key", ["reason", "issued_to", "issued_on"])
def test_what_an_item_says_is_what_its_report_prints(branch: Path, key: str) -> None:
    trees = issued_by_hand(branch)
    other = {"reason": "nothing", "issued_to": ["X"], "issued_on": "2026-03-14"}[key]
    content = trees[-1]["content"].encode()
    again = chained([*trees[:-1], {**trees[-1], key: other}])
    html = kept(branch).replace(content, again[-1]["content"].encode())
    came = put_kept(branch, again, html)

    file = f"{TESTS}/ML-101.r2.html"
    caught(branch, Fault("ML-101", 2, file, came), "the kept report differs")


def test_inputs_that_were_not_used_are_not_claimed(branch: Path) -> None:
    trees = issued_by_hand(branch)
    more = "records/marsh-lane/tests/ML-102.yaml"
    inputs = {**trees[-1]["inputs"], more: digest((branch / more).read_bytes())}
    content = trees[-1]["content"].encode()
    again = chained([*trees[:-1], {**trees[-1], "inputs": inputs}])
    html = kept(branch).replace(content, again[-1]["content"].encode())
    came = put_kept(branch, again, html)

    words = f"other inputs than the records committed at that time: {more}"
    caught(branch, Fault("ML-101", 2, CHAIN, came), words, *ONTO)


def test_a_new_item_is_of_the_records_as_they_stand(branch: Path) -> None:
    # Issued of a reading that was mended before the item was committed.
    issued_by_hand(branch)
    edit(branch, RECORD, f"{MASS}2", f"{MASS}1", commit=False)
    git(branch, "commit", "--quiet", "--message=mended", "--", f"records/{RECORD}")
    came = commit(branch, "Issue ML-101 r2")

    words = "other inputs than the records committed at that time"
    caught(branch, Fault("ML-101", 2, CHAIN, came), words, *ONTO)


def test_a_notice_of_withdrawal_is_made_again_too(branch: Path) -> None:
    issue(branch, "ML-101", "--withdraw", "--no-commit", reason="another sample")
    trees = items(branch)
    html = kept(branch).replace(b"another sample", b"no reason at all")
    came = put_kept(branch, trees, html)

    file = f"{TESTS}/ML-101.r2.html"
    caught(branch, Fault("ML-101", 2, file, came), "the kept report differs", *ONTO)


def test_every_sort_of_item_that_issue_writes_is_sound(root: Path) -> None:
    git(root, "checkout", "--quiet", "-b", "work")
    edit(root, OTHER, "mold_and_wet_soil: 4002", "mold_and_wet_soil: 4004")
    issue(root, "ML-102", "--preliminary", "--to", "A", reason="asked for early")
    issue(root, "ML-101", "--withdraw", reason="the sample was another one")
    issue(root, "ML-102", "--to", "A", reason="final")

    assert sound(root, *ONTO)
    assert sound(root)


@pytest.fixture
def warned(branch: Path) -> Path:
    """ML-102 issued by hand; its mold weighs otherwise than in ML-101."""
    assert b"mold-mass-changed" not in (branch / f"{TESTS}/ML-102.r0.json").read_bytes()
    edit(branch, OTHER, "mold_mass: 2001", "mold_mass: 2008")
    issue(branch, "ML-102", "--no-commit", reason="The mold was weighed again")
    assert b"mold-mass-changed" in (branch / WARNED).read_bytes()
    return branch


@pytest.mark.parametrize("onto", [(), ONTO])
def test_warnings_that_come_from_other_tests_are_made_again(
    warned: Path, onto: tuple[str, ...]
) -> None:
    commit(warned, "Issue ML-102 r1")

    assert sound(warned, *onto)


def test_a_warning_left_out_of_a_new_report_is_caught(warned: Path) -> None:
    said = json.loads((warned / WARNED).read_bytes())
    said["flags"] = [x for x in said["flags"] if x["flag"] != "mold-mass-changed"]
    result = (json.dumps(said, indent=2, sort_keys=True) + "\n").encode()
    name = WARNED.replace("json", "html")
    html = (warned / name).read_bytes()
    *stood, last = items(warned, "ML-102")
    trees = chained([*stood, {**last, "result": digest(result)}])
    html = html.replace(last["content"].encode(), trees[-1]["content"].encode())
    trees[-1]["report"] = digest(html)
    write(warned, {WARNED: result, name: html})
    put(warned, trees, "ML-102")
    came = commit(warned, "Issue ML-102 r1")

    caught(warned, Fault("ML-102", 1, WARNED, came), "the kept result differs", *ONTO)


def test_another_test_that_is_not_committed_changes_no_report(branch: Path) -> None:
    # What `issue` warns of must be found again, so it compares with what is committed.
    edit(branch, OTHER, "mold_and_wet_soil: 4002", "mold_and_wet_soil: 4004")
    line = "mold_mass: 4.41"
    edit(branch, RECORD, line, "mold_mass: 4.45", commit=False)
    issue(branch, "ML-102", reason="Mass of point 3 again")
    git(branch, "checkout", "--quiet", "--", f"records/{RECORD}")

    assert b"mold-mass-changed" not in (branch / WARNED).read_bytes()
    assert sound(branch, *ONTO)


def test_a_made_up_version_is_caught(branch: Path) -> None:
    trees = issued_by_hand(branch)
    about = {**trees[-1]["software"], "version": "9.9"}
    assert about["fingerprint"] == software.fingerprint()
    content = trees[-1]["content"].encode()
    again = chained([*trees[:-1], {**trees[-1], "software": about}])
    html = kept(branch).replace(content, again[-1]["content"].encode())
    came = put_kept(branch, again, html)

    caught(branch, Fault("ML-101", 2, CHAIN, came), "writes from its inputs, in soft")


@pytest.mark.parametrize("onto", [(), ONTO])
@pytest.mark.parametrize(
    ("was", "now", "why"),
    [
        ("reviewed: {on: 2026-03-12, by: E02}\n", "", "is not reviewed"),
        ("status: complete", "status: in-progress", "is still in progress"),
        ("container_mass: 31.42", "container_mass: 131.42", "error "),
    ],
)
def test_what_issue_would_have_refused_is_no_report(
    branch: Path,
    was: str,
    now: str,
    why: str,
    onto: tuple[str, ...],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # A program that asks nothing, and states the fingerprint of the one that does.
    edit(branch, RECORD, was, now)
    with monkeypatch.context() as changed:
        for name in ("not_ready", "open_errors"):
            changed.setattr(planning, name, lambda *_: iter(()))
        issued_by_hand(branch)
    came = commit(branch, "Issue ML-101 r2")

    fault = Fault("ML-101", 2, CHAIN, came)
    caught(branch, fault, "`issue` would have refused it", *onto)
    caught(branch, fault, why, *onto)
