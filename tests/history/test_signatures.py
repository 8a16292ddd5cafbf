"""What signatures are worth, with keys that ssh-keygen makes for the test."""

import subprocess
from datetime import date
from pathlib import Path

import pytest

from buildsite.errors import EnvironmentFault
from buildsite.history.signatures import fingerprint_of, signatures
from buildsite.history.walk import read_history
from buildsite.record.commits import Signature, StaffKey
from tests.clones import git
from tests.pasts import begun, edit, put, ssh_key

A = "records/p/tests/A.yaml"


def worth(root: Path, *keys: StaffKey) -> Signature:
    """State of the newest commit's signature."""
    commit = read_history(root).commits[0]
    return signatures(root, [commit], keys)[commit.id]


def test_a_good_signature_names_the_code_of_the_key(tmp_path: Path) -> None:
    key, line = ssh_key(tmp_path / "keys", "t07")
    edit(begun(tmp_path / "a"), "one", {A: "1"}, sign=key)

    assert worth(tmp_path / "a", StaffKey("T07", line)) == Signature("good", "T07")


def test_an_unsigned_commit_is_told_from_its_header(tmp_path: Path) -> None:
    _, line = ssh_key(tmp_path / "keys", "t07")
    edit(begun(tmp_path / "a"), "gpgsig -----BEGIN SSH SIGNATURE-----", {A: "1"})

    assert worth(tmp_path / "a", StaffKey("T07", line)).state == "unsigned"
    assert worth(tmp_path / "a").state == "unsigned"


def test_a_signed_commit_is_not_unsigned_where_no_key_is_listed(tmp_path: Path) -> None:
    key, _ = ssh_key(tmp_path / "keys", "t07")
    edit(begun(tmp_path / "a"), "one", {A: "1"}, sign=key)

    assert worth(tmp_path / "a").state == "unknown key"


def test_a_key_that_is_not_listed(tmp_path: Path) -> None:
    key, _ = ssh_key(tmp_path / "keys", "stranger")
    _, line = ssh_key(tmp_path / "keys", "t07")
    edit(begun(tmp_path / "a"), "one", {A: "1"}, sign=key)

    assert worth(tmp_path / "a", StaffKey("T07", line)).state == "unknown key"


@pytest.mark.parametrize(
    ("when", "state"),
    [
        ("2026-03-09T23:59:59+02:00", "expired key"),
        ("2026-03-10T00:30:00+02:00", "good"),  # still the 9th in Greenwich
        ("2026-03-12T23:30:00-05:00", "good"),  # the 13th there already
        ("2026-03-13T00:00:00Z", "expired key"),
    ],
)
@pytest.mark.parametrize("zone", ["UTC", "Pacific/Auckland", "America/Lima"])
def test_a_key_holds_on_the_committers_own_days(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, when: str, state: str, zone: str
) -> None:
    key, line = ssh_key(tmp_path / "keys", "t07")
    edit(begun(tmp_path / "a"), "one", {A: "1"}, sign=key, when=when)
    monkeypatch.setenv("TZ", zone)
    held = StaffKey("T07", line, date(2026, 3, 10), date(2026, 3, 12))

    found = worth(tmp_path / "a", held)

    assert (found.state, found.code) == (state, "T07")


def test_a_commit_altered_after_signing(tmp_path: Path) -> None:
    key, line = ssh_key(tmp_path / "keys", "t07")
    root = begun(tmp_path / "a")
    first = edit(root, "one", {A: "1"}, sign=key)
    text = git(root, "cat-file", "commit", first).replace("one", "two")
    words = ["git", "-C", str(root), "hash-object", "-t", "commit", "-w", "--stdin"]
    done = subprocess.run(
        words, input=f"{text}\n".encode(), capture_output=True, check=True
    )
    git(root, "reset", "--quiet", "--hard", done.stdout.decode().strip())

    assert worth(root, StaffKey("T07", line)).state == "altered"


def test_a_key_of_two_people_is_of_nobody(tmp_path: Path) -> None:
    key, line = ssh_key(tmp_path / "keys", "shared")
    edit(begun(tmp_path / "a"), "one", {A: "1"}, sign=key)

    found = worth(tmp_path / "a", StaffKey("T07", line), StaffKey("T04", line))

    assert (found.state, found.code) == ("unknown key", "")
    assert "T04 and T07" in found.why


def test_a_signature_made_by_another_program_cannot_be_listed(tmp_path: Path) -> None:
    _, line = ssh_key(tmp_path / "keys", "t07")
    root = begun(tmp_path / "a")
    first = edit(root, "one", {A: "1"})
    head, _, message = git(root, "cat-file", "commit", first).partition("\n\n")
    pgp = "gpgsig -----BEGIN PGP SIGNATURE-----\n \n xyz\n -----END PGP SIGNATURE-----"
    text = f"{head}\n{pgp}\n\n{message}\n"
    words = ["git", "-C", str(root), "hash-object", "-t", "commit", "-w", "--stdin"]
    done = subprocess.run(words, input=text.encode(), capture_output=True, check=True)
    git(root, "reset", "--quiet", "--hard", done.stdout.decode().strip())

    found = worth(root, StaffKey("T07", line))

    assert found.state == "unknown key"
    assert "not an SSH signature" in found.why


def test_many_commits_are_judged_in_one_go_in_a_repository_of_sha_256(
    tmp_path: Path,
) -> None:
    key, line = ssh_key(tmp_path / "keys", "t07")
    root = begun(tmp_path / "a", "--object-format=sha256")
    for number in range(4):
        edit(root, f"{number}", {A: f"{number}"}, sign=key if number % 2 else None)
    commits = read_history(root).commits

    found = signatures(root, commits, [StaffKey("T07", line)])

    states = [found[commit.id].state for commit in commits]
    assert states == ["good", "unsigned", "good", "unsigned"]


def test_what_is_no_key_cannot_add_a_line_to_the_signers(tmp_path: Path) -> None:
    key, line = ssh_key(tmp_path / "keys", "stranger")
    _, own = ssh_key(tmp_path / "keys", "t07")
    edit(begun(tmp_path / "a"), "one", {A: "1"}, sign=key)

    found = worth(
        tmp_path / "a", StaffKey("T07", f'{own}\nT04 namespaces="git" {line}')
    )

    assert found.state == "unknown key"


def test_settings_of_the_user_do_not_count(tmp_path: Path) -> None:
    key, line = ssh_key(tmp_path / "keys", "t07")
    root = begun(tmp_path / "a")
    edit(root, "one", {A: "1"}, sign=key)
    put(root, {"revoked": line})
    git(root, "config", "gpg.ssh.revocationFile", str(root / "revoked"))
    git(root, "config", "gpg.ssh.program", "/bin/false")
    git(root, "config", "gpg.minTrustLevel", "ultimate")
    git(root, "config", "log.showSignature", "true")

    assert worth(root, StaffKey("T07", line)) == Signature("good", "T07")


def test_without_ssh_keygen_nothing_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    key, line = ssh_key(tmp_path / "keys", "t07")
    root = begun(tmp_path / "a")
    edit(root, "one", {A: "1"}, sign=key)
    found = subprocess.run(["which", "git"], capture_output=True, text=True, check=True)
    only_git = tmp_path / "bin"
    only_git.mkdir()
    (only_git / "git").symlink_to(found.stdout.strip())
    monkeypatch.setenv("PATH", str(only_git))

    with pytest.raises(EnvironmentFault, match="ssh-keygen doesn't run"):
        worth(root, StaffKey("T07", line))


def test_a_fingerprint_is_that_of_ssh_keygen(tmp_path: Path) -> None:
    path, line = ssh_key(tmp_path, "t07")
    words = ["ssh-keygen", "-l", "-E", "sha256", "-f", str(path)]
    told = subprocess.run(words, capture_output=True, text=True, check=True).stdout

    assert fingerprint_of(line) == told.split()[1]
    assert fingerprint_of("ssh-ed25519 not-base64") == ""
