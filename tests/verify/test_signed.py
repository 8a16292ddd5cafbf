"""Where signing is demanded, an issue is signed, by who authorizes it, and in time."""

import json
import shutil
from pathlib import Path

import pytest

from tests.clones import WHO, git
from tests.issuing.clones import edit
from tests.pasts import ssh_key
from tests.verify.tampering import (
    CHAIN,
    RECORD,
    Fault,
    caught,
    commit,
    head,
    issue,
    sound,
    verify,
)

pytestmark = pytest.mark.skipif(
    shutil.which("ssh-keygen") is None, reason="no ssh-keygen here"
)

AMEND = ("ML-101",)
WHY = "read once more"


@pytest.fixture
def keys(root: Path, tmp_path: Path) -> dict[str, Path]:
    """Demand signed edits from here on; keys of E02, who signs now, and of T07."""
    made = {}
    for code, may in (
        ("E02", "{roles: [engineer], "),
        ("T07", "{roles: [technician], "),
    ):
        key, line = ssh_key(tmp_path / "keys", code)
        made[code] = key
        edit(
            root,
            "lab.yaml",
            f"{code}: {may}",
            f"{code}: {may}keys: [{line}], ",
            commit=False,
        )
    edit(
        root,
        "lab.yaml",
        "{curve: auto,",
        "{curve: auto, signed_edits: yes,",
        commit=False,
    )
    git(root, "config", "gpg.format", "ssh")
    sign(root, made["E02"])
    commit(root, "edits are signed from here on")
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    return made


def sign(root: Path, key: Path | None) -> None:
    """Sign with a key from here on; with none, not at all."""
    git(root, "config", "commit.gpgsign", "no" if key is None else "yes")
    git(root, "config", "user.signingkey", str(key))


def test_a_signed_issue_is_sound(root: Path, keys: dict[str, Path]) -> None:
    issue(root, *AMEND, reason=WHY)

    assert keys
    assert "\ngpgsig " in git(root, "cat-file", "commit", "HEAD")
    assert sound(root)


def test_an_unsigned_issue_is_caught(root: Path, keys: dict[str, Path]) -> None:
    assert keys
    sign(root, None)
    issue(root, *AMEND, "--no-commit", reason=WHY)
    unsigned = commit(root, "Issue ML-101 r2")

    caught(root, Fault("ML-101", 2, CHAIN, unsigned), "edit-not-signed: ")


def test_who_authorized_an_unsigned_issue_signs_for_it(
    root: Path, keys: dict[str, Path]
) -> None:
    sign(root, None)
    issue(root, *AMEND, "--no-commit", reason=WHY)
    unsigned = commit(root, "Issue ML-101 r2")
    fault = Fault("ML-101", 2, CHAIN, unsigned)
    said = f"Signed for\n\nAcknowledges: {unsigned[:12]}"

    sign(root, keys["T07"])
    commit(root, said)
    caught(root, fault, "edit-not-signed: ")

    sign(root, keys["E02"])
    commit(root, said)
    ran = verify(root)
    assert ran.status == 0, ran.out
    (note,) = json.loads(ran.out)["assessed"]
    assert Fault(*(note[key] for key in vars(fault))) == fault
    assert "acknowledged by E02 in commit" in note["what"]


def test_an_issue_signed_by_another_than_authorizes_it_is_caught(
    root: Path, keys: dict[str, Path]
) -> None:
    sign(root, keys["T07"])
    issue(root, *AMEND, reason=WHY)

    fault = Fault("ML-101", 2, CHAIN, head(root))
    caught(root, fault, "signed by T07, but it names E02")


def test_an_issue_with_the_clock_put_back_is_caught(
    root: Path, keys: dict[str, Path]
) -> None:
    assert keys
    issue(root, *AMEND, reason=WHY, at="2026-03-02T12:00:00Z")

    fault = Fault("ML-101", 2, CHAIN, head(root))
    caught(root, fault, "edit-dated-backwards: ")


def test_an_issue_that_claims_a_day_before_its_inputs_is_caught(
    root: Path, keys: dict[str, Path]
) -> None:
    assert keys
    edit(
        root, RECORD, "mold_and_wet_soil: 8.62", "mold_and_wet_soil: 8.63", commit=False
    )
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(WHO, "GIT_COMMITTER_DATE", "2026-04-01T12:00:00Z")
        commit(root, "read once more")
    issue(root, *AMEND, reason=WHY, at="2026-04-01T12:00:00Z")

    fault = Fault("ML-101", 2, CHAIN, head(root))
    caught(root, fault, "back-dated: dated 2026-03-13, but uses ")


def test_an_unsigned_edit_of_a_record_is_caught(
    root: Path, keys: dict[str, Path]
) -> None:
    assert keys
    sign(root, None)
    edit(root, RECORD, "mold_and_wet_soil: 8.62", "mold_and_wet_soil: 8.63")

    fault = Fault("ML-101", None, f"records/{RECORD}", head(root))
    caught(root, fault, "edit-not-signed: ")


def test_to_take_the_demand_away_must_be_signed(
    root: Path, keys: dict[str, Path]
) -> None:
    assert keys
    sign(root, None)
    edit(root, "lab.yaml", "signed_edits: yes,", "signed_edits: no,")

    fault = Fault("", None, "records/lab.yaml", head(root))
    caught(root, fault, "edit-not-signed: ")


def test_a_key_that_signs_for_itself_does_not_count(
    root: Path, keys: dict[str, Path], tmp_path: Path
) -> None:
    forged, line = ssh_key(tmp_path / "forger", "forged")
    listed = (root / "records/lab.yaml").read_text().partition("E02: ")[2]
    old = listed.partition("keys: [")[2].partition("]")[0]
    sign(root, forged)
    edit(root, "lab.yaml", f"keys: [{old}]", f"keys: [{old}, {line}]")
    came = head(root)
    assert keys

    caught(root, Fault("", None, "records/lab.yaml", came), "edit-not-signed: ")
    issue(root, *AMEND, reason=WHY)  # nothing that follows makes it good
    caught(
        root,
        Fault("", None, "records/lab.yaml", came),
        "edit-not-signed: ",
        alone=False,
    )


def test_a_key_that_a_key_before_it_signed_for_counts(
    root: Path, keys: dict[str, Path], tmp_path: Path
) -> None:
    new, line = ssh_key(tmp_path / "later", "later")
    listed = (root / "records/lab.yaml").read_text().partition("E02: ")[2]
    old = listed.partition("keys: [")[2].partition("]")[0]
    sign(root, keys["E02"])
    edit(root, "lab.yaml", f"keys: [{old}]", f"keys: [{old}, {line}]")
    sign(root, new)
    issue(root, *AMEND, reason=WHY)

    assert sound(root)
