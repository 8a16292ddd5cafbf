"""What was proved before is believed of the same commit and program alone."""

import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from buildsite import software
from buildsite.record.proof import Fault as Found
from buildsite.verifying import proved
from buildsite.verifying.joined import Joined
from buildsite.verifying.recomputed import Recomputing
from tests.cli.running import Ran, run
from tests.clones import git
from tests.issuing.clones import edit
from tests.verify.tampering import (
    RECORD,
    commit,
    issue,
    published,
)
from tests.verify.test_damage import overwritten


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The tests whose items are made again; none is drawn by lot."""
    found: list[str] = []
    whole = Recomputing.faults

    def noted(self: Recomputing, joined: Joined) -> Iterator[Found]:
        found.append(joined.issued.test)
        return whole(self, joined)

    monkeypatch.setattr(Recomputing, "faults", noted)
    monkeypatch.setattr(proved, "AGAIN", 0)
    return found


@pytest.fixture
def manifest(root: Path, tmp_path: Path) -> Path:
    return published(root, tmp_path)


def plain(root: Path) -> Ran:
    return run("verify", "--root", root, "--first-publication")


def against(root: Path, manifest: Path, *more: str) -> Ran:
    return run("verify", "--root", root, "--against", manifest, *more)


def verdict(ran: Ran) -> dict[str, object]:
    content: dict[str, object] = json.loads(ran.out)
    return content


def test_what_was_proved_is_believed_and_told(
    root: Path, manifest: Path, made: list[str]
) -> None:
    plain(root)
    assert set(made) == {"ML-101", "ML-102"}
    made.clear()

    ran = against(root, manifest)

    assert made == []
    assert ran.status == 0
    assert "2 issued tests proved in this clone before, at this commit" in ran.err
    assert ran.err.splitlines()[-1] == plain(root).err.splitlines()[-1]


def test_the_verdict_is_the_same_but_for_what_it_rests_on(
    root: Path, manifest: Path
) -> None:
    told = [verdict(against(root, manifest, "--json")) for _ in range(2)]

    remarks = [one.pop("remarks") for one in told]
    assert told[0] == told[1]
    assert remarks[0] == []
    assert "proved in this clone before" in str(remarks[1])


@pytest.mark.parametrize("more", [["--first-publication"], ["--onto", "main"], []])
def test_without_the_manifest_nothing_is_believed(
    root: Path, made: list[str], more: list[str]
) -> None:
    plain(root)
    made.clear()

    run("verify", "--root", root, *more)

    assert set(made) == {"ML-101", "ML-102"}


def test_nor_where_all_is_asked_for(
    root: Path, manifest: Path, made: list[str]
) -> None:
    plain(root)
    made.clear()

    against(root, manifest, "--no-cache")

    assert set(made) == {"ML-101", "ML-102"}


def test_nor_of_another_commit(root: Path, manifest: Path, made: list[str]) -> None:
    plain(root)
    git(root, "commit", "--quiet", "--allow-empty", "--message=more")
    made.clear()

    against(root, manifest)
    assert set(made) == {"ML-101", "ML-102"}
    made.clear()

    against(root, manifest)
    assert made == []


def test_nor_where_an_item_is_new(root: Path, manifest: Path, made: list[str]) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    issue(root, "ML-101", reason="Mass of point 3 again")

    for _ in range(2):
        made.clear()
        against(root, manifest)
        assert set(made) == {"ML-101", "ML-102"}


@pytest.mark.parametrize("part", ["fingerprint", "libraries", "installed_from"])
def test_nor_by_another_program(
    root: Path,
    manifest: Path,
    made: list[str],
    part: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    plain(root)
    made.clear()

    monkeypatch.setattr(software, part, lambda: "0" * 64)
    against(root, manifest)

    assert set(made) == {"ML-101", "ML-102"}


def test_a_run_with_a_fault_proves_nothing(
    root: Path, manifest: Path, made: list[str]
) -> None:
    report = next((root / "records").rglob("ML-101.r0.html"))
    report.write_bytes(report.read_bytes() + b"\n")
    commit(root, "altered")

    for _ in range(2):
        made.clear()
        assert against(root, manifest).status == 1
        assert "ML-101" in made


def test_a_damaged_object_is_told_all_the_same(root: Path, manifest: Path) -> None:
    assert plain(root).status == 0
    overwritten(root, f"HEAD:records/{RECORD}", b"moisture", b"moistUre")

    ran = against(root, manifest)

    assert ran.status == 1
    assert "this clone is damaged" in ran.err


def test_some_are_drawn_and_a_false_proof_fails(
    root: Path, manifest: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain(root)
    place = root / ".git/buildsite/verify.sqlite"
    base = sqlite3.connect(place)
    with base:
        asked = base.execute("SELECT asked FROM proofs").fetchone()[0]
    base.close()
    report = next((root / "records").rglob("ML-101.r0.html"))
    report.write_bytes(report.read_bytes() + b"\n")
    commit(root, "altered")
    monkeypatch.setattr(proved, "digest", lambda data: asked)  # of whatever is asked

    ran = against(root, manifest)

    assert ran.status == 3
    assert "proved in this clone before differs now" in ran.err
    assert not place.exists()
    assert against(root, manifest).status == 1


@pytest.mark.parametrize("spoil", [b"no database", b""])
def test_a_store_that_can_not_be_read_proves_nothing(
    root: Path, manifest: Path, made: list[str], spoil: bytes
) -> None:
    plain(root)
    (root / ".git/buildsite/verify.sqlite").write_bytes(spoil)

    made.clear()
    against(root, manifest)
    assert set(made) == {"ML-101", "ML-102"}
    against(root, manifest)  # one that is no store is thrown away, and begun anew
    made.clear()
    against(root, manifest)
    assert made == []
