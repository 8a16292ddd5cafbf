"""A last report is what its inputs give, by the same software; else assessed."""

from pathlib import Path

import pytest

from buildsite import software
from buildsite.kinds import reporting
from tests.clones import write
from tests.issuing.clones import TESTS, edit
from tests.verify.tampering import (
    CHAIN,
    RECORD,
    Fault,
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

OTHER = "c" * 64


@pytest.fixture
def coarser(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program of another rounding: whole units."""
    monkeypatch.setattr(reporting, "rounded", lambda value, rule: f"{value:.0f}")


@pytest.fixture
def newer(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program of another fingerprint."""
    monkeypatch.setattr(software, "fingerprint", lambda: OTHER)


@pytest.mark.usefixtures("coarser")
def test_the_same_software_computes_the_same(root: Path) -> None:
    for test, revision in (("ML-101", 1), ("ML-102", 0)):
        found = head(root) if revision else head(root, "HEAD~2")
        fault = Fault(test, revision, f"{TESTS}/{test}.issued.yaml", found)
        caught(root, fault, "recomputed from its inputs: ", alone=False)


@pytest.mark.usefixtures("coarser", "newer")
def test_newer_software_that_rounds_otherwise_fails_until_that_is_assessed(
    root: Path,
) -> None:
    fault = Fault("ML-101", 1, CHAIN, head(root))
    caught(root, fault, "issued by other software", alone=False)

    issue(root, "ML-101", "--assess", "1", reason="the last place alone")
    issue(root, "ML-102", "--assess", "0", reason="the last place alone")

    assert sound(root)
    assert "assessed in r2, by E02: the last place alone" in verify(root).err


@pytest.mark.usefixtures("coarser", "newer")
def test_an_assessment_covers_software_that_computes_as_it_says_and_no_other(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    issue(root, "ML-101", "--assess", "1", reason="the last place alone")
    issue(root, "ML-102", "--assess", "0", reason="the last place alone")
    monkeypatch.setattr(reporting, "rounded", lambda value, rule: f"{value:.4f}")

    ran = verify(root)

    assert ran.status == 1
    assert '"test": "ML-101"' in ran.out
    assert '"test": "ML-102"' in ran.out


@pytest.mark.usefixtures("newer")
def test_newer_software_that_computes_the_same_is_sound(root: Path) -> None:
    assert sound(root)


def test_a_result_that_its_inputs_do_not_give_is_caught(root: Path) -> None:
    # Forged at the issue itself: digests, chain and kept files all fit.
    last = items(root)[-1]
    results = {**last["results"], "maximum_dry_density": "109.9 lb/ft3"}
    kept = {f"{TESTS}/ML-101.r2.html": b"", f"{TESTS}/ML-101.r2.json": b""}
    empty = "sha256:e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    forged = {**last, "results": results, "report": empty, "result": empty}
    write(root, kept)
    put(root, chained([*items(root), forged]))
    forger = commit(root, "Issue ML-101 r2")

    caught(root, Fault("ML-101", 2, CHAIN, forger), "109.9 lb/ft³")


def test_values_used_that_its_inputs_do_not_give_are_caught(root: Path) -> None:
    stood = items(root)
    forged = {**stood[-1], "used": "sha256:" + "0" * 64}
    write(root, {f"{TESTS}/ML-101.r2.{x}": kept(root, x) for x in ("html", "json")})
    put(root, chained([*stood, forged]))
    forger = commit(root, "Issue ML-101 r2")

    caught(
        root,
        Fault("ML-101", 2, CHAIN, forger),
        "other values used than the item states",
    )


def kept(root: Path, suffix: str) -> bytes:
    """A file kept for r1."""
    return (root / f"{TESTS}/ML-101.r1.{suffix}").read_bytes()


@pytest.mark.parametrize("invented", [True, False])
def test_inputs_that_never_stood_together_are_caught(
    root: Path, invented: bool
) -> None:
    stood = items(root)
    record = f"records/{RECORD}"
    edit(root, "equipment/M-04.yaml", "4052", "4060")
    mold = dict(stood[-1]["inputs"])
    # The record as it was before it was mended, with the mold as it is after that.
    mold[record] = stood[0]["inputs"][record]
    mold["records/equipment/M-04.yaml"] = digest_of(root, "equipment/M-04.yaml")
    if invented:
        mold[record] = "sha256:" + "1" * 64
    write(root, {f"{TESTS}/ML-101.r2.{x}": kept(root, x) for x in ("html", "json")})
    put(root, chained([*stood, {**stood[-1], "inputs": mold}]))
    forger = commit(root, "Issue ML-101 r2")

    if invented:
        fault, words = Fault("ML-101", 2, record, forger), "no reachable commit holds"
    else:
        fault = Fault("ML-101", 2, CHAIN, forger)
        words = "no reachable commit holds all of its inputs"
    caught(root, fault, words)


def digest_of(root: Path, name: str) -> str:
    from hashlib import sha256

    return "sha256:" + sha256((root / "records" / name).read_bytes()).hexdigest()
