"""Where the laboratory demands signed edits: who is judged, and what is found."""

import re
from pathlib import Path

import pytest

from buildsite.archive.signatures import edits_not_signed, published_tip
from buildsite.build import build
from buildsite.history.walk import read_history
from buildsite.pages.site_sources import Options
from tests.archives import issued, sound
from tests.cli.running import run
from tests.clones import git
from tests.pasts import begun, edit, put, ssh_key

LAB, TEST = "records/lab.yaml", "records/marsh-lane/tests/ML-101.yaml"


class Signing:
    """A laboratory of two people with keys, which demands signed edits."""

    def __init__(self, folder: Path) -> None:
        self.t07, one = ssh_key(folder / "keys", "t07")
        self.e02, two = ssh_key(folder / "keys", "e02")
        self.stranger, _ = ssh_key(folder / "keys", "stranger")
        lab = sound()[LAB].decode()
        for code, line in (("T07", one), ("E02", two)):
            mail = f"{code.lower()}@lab.example"
            lab = lab.replace(
                f"  {code}: {{", f'  {code}: {{emails: [{mail}], keys: ["{line}"], '
            )
        self.before = lab
        self.lab = lab.replace("procedures: {", "procedures: {signed_edits: yes, ")
        self.root = begun(folder / "archive")
        edit(self.root, "before anyone signed", {**sound(), LAB: self.before})

    def demand(self) -> None:
        """Begin to demand signatures."""
        self.edit("signed from now on", {LAB: self.lab}, self.e02, "e02")

    def edit(
        self,
        message: str,
        changes: dict[str, str],
        key: Path | None,
        who: str = "t07",
        when: str = "2026-03-13T12:00:00Z",
    ) -> str:
        mail = f"{who}@lab.example"
        return edit(self.root, message, changes, sign=key, email=mail, when=when)

    def changed(self, digit: int = 3) -> dict[str, str]:
        """Give a record with one reading changed."""
        text = sound()[TEST].decode()
        return {TEST: text.replace("mold_and_wet_soil: 8.32", f"{WET}: 8.3{digit}")}

    def flags(self) -> list[tuple[str, str]]:
        """Flag and commit of each fault."""
        past = read_history(self.root)
        found = edits_not_signed(self.root, past, "main")
        return [(flag.flag, flag.found.split(":")[0]) for flag in found]


WET = "mold_and_wet_soil"


@pytest.fixture
def lab(tmp_path: Path) -> Signing:
    return Signing(tmp_path)


def named(commit: str) -> str:
    return f"commit {commit[:12]}"


def test_nothing_is_judged_before_the_demand(lab: Signing) -> None:
    lab.edit("unsigned, before", lab.changed(), None)

    assert lab.flags() == []

    lab.demand()

    assert lab.flags() == []


def test_signed_edits_by_whom_they_name_are_sound(lab: Signing) -> None:
    lab.demand()
    lab.edit("signed", lab.changed(), lab.t07)
    lab.edit("no record", {"README": "unsigned"}, None)

    assert lab.flags() == []


def test_an_unsigned_edit(lab: Signing) -> None:
    lab.demand()
    commit = lab.edit("not signed", lab.changed(), None)

    assert lab.flags() == [("edit-not-signed", named(commit))]


def test_an_edit_signed_with_a_strange_key(lab: Signing) -> None:
    lab.demand()
    commit = lab.edit("strange", lab.changed(), lab.stranger)

    assert lab.flags() == [("edit-not-signed", named(commit))]


def test_an_edit_in_the_name_of_another(lab: Signing) -> None:
    lab.demand()
    commit = lab.edit("as T07", lab.changed(), lab.e02, who="t07")

    assert lab.flags() == [("edit-signed-by-another", named(commit))]


def test_an_edit_whose_trailer_names_another(lab: Signing) -> None:
    lab.demand()
    commit = lab.edit("read\n\nEntered-by: E02", lab.changed(), lab.t07)

    assert lab.flags() == [("edit-signed-by-another", named(commit))]


def test_who_lists_a_key_of_their_own_on_a_branch_is_not_believed(lab: Signing) -> None:
    lab.demand()
    git(lab.root, "checkout", "--quiet", "-b", "proposal")
    line = lab.stranger.with_suffix(".pub").read_text().strip()
    mine = lab.lab.replace("keys: [", f'keys: ["{line}", ')
    one = lab.edit("my key", {LAB: mine}, lab.stranger)
    two = lab.edit("an edit", lab.changed(), lab.stranger)

    judged = [("edit-not-signed", named(commit)) for commit in (one, two)]

    assert lab.flags() == judged


def test_a_branch_from_before_the_demand_brings_nothing_unsigned(lab: Signing) -> None:
    git(lab.root, "branch", "old")
    lab.demand()
    git(lab.root, "checkout", "--quiet", "old")
    commit = lab.edit("unsigned on the old branch", lab.changed(), None)
    git(lab.root, "checkout", "--quiet", "main")
    git(lab.root, "merge", "--quiet", "--no-ff", "--no-edit", "old")

    assert lab.flags() == [("edit-not-signed", named(commit))]


def test_who_takes_the_demand_away_must_sign_that(lab: Signing) -> None:
    lab.demand()
    commit = lab.edit("no more", {LAB: lab.before}, None)
    lab.edit("unsigned, after", lab.changed(), None)

    assert lab.flags() == [("edit-not-signed", named(commit))]


def test_an_edit_dated_before_the_one_it_follows(lab: Signing) -> None:
    lab.demand()
    commit = lab.edit("back", lab.changed(), lab.t07, when="2026-03-12T12:00:00Z")

    assert lab.flags() == [("edit-dated-backwards", named(commit))]


def test_clocks_of_two_machines_and_zones_may_differ(lab: Signing) -> None:
    lab.demand()
    lab.edit("a slow clock", lab.changed(), lab.t07, when="2026-03-13T11:59:00Z")
    lab.edit("west", lab.changed(4), lab.t07, when="2026-03-13T05:10:00-07:00")

    assert lab.flags() == []


def test_a_merge_that_joins_need_not_be_signed(lab: Signing) -> None:
    lab.demand()
    git(lab.root, "checkout", "--quiet", "-b", "work")
    lab.edit("signed", lab.changed(), lab.t07)
    git(lab.root, "checkout", "--quiet", "main")
    lab.edit("also", {"records/marsh-lane/note.txt": "x"}, lab.t07)
    git(lab.root, "merge", "--quiet", "--no-edit", "work")

    assert lab.flags() == []


def test_an_unsigned_change_made_inside_a_merge(lab: Signing) -> None:
    lab.demand()
    git(lab.root, "checkout", "--quiet", "-b", "work")
    lab.edit("signed", lab.changed(), lab.t07)
    git(lab.root, "checkout", "--quiet", "main")
    git(lab.root, "merge", "--quiet", "--no-commit", "--no-ff", "work")
    put(lab.root, lab.changed(9))
    commit = lab.edit("merged, and more", {}, None)

    assert lab.flags() == [("edit-not-signed", named(commit))]


def test_an_unsigned_merge_that_takes_an_older_side(lab: Signing) -> None:
    lab.demand()
    git(lab.root, "checkout", "--quiet", "-b", "work")
    lab.edit("also", {"records/marsh-lane/note.txt": "x"}, lab.t07)
    git(lab.root, "checkout", "--quiet", "main")
    lab.edit("signed", lab.changed(), lab.t07)
    git(lab.root, "merge", "--quiet", "--no-commit", "--no-ff", "work")
    git(lab.root, "checkout", "work", "--", *lab.changed())
    commit = lab.edit("merged, and undone", {}, None)

    assert lab.flags() == [("edit-not-signed", named(commit))]


def test_an_issue_counts_when_its_authority_signs(lab: Signing) -> None:
    lab.demand()
    files = {**sound(), LAB: lab.lab.encode()}
    about = {"authorized_by": "E02"}
    both = issued(files, "marsh-lane/tests/ML-101", about)
    once = {name: data for name, data in both.items() if name not in files}
    right = edit(lab.root, "Issue", once, sign=lab.e02, email="e02@lab.example")
    assert right
    assert lab.flags() == []
    git(lab.root, "reset", "--quiet", "--hard", "HEAD~1")

    wrong = edit(lab.root, "Issue", once, sign=lab.t07, email="t07@lab.example")

    assert lab.flags() == [("edit-signed-by-another", named(wrong))]


def test_nobody_makes_themselves_another_by_listing_a_key(lab: Signing) -> None:
    lab.demand()
    line = lab.stranger.with_suffix(".pub").read_text().strip()
    head, tail = lab.lab.split("  E02: ", 1)
    mine = head + "  E02: " + tail.replace("keys: [", f'keys: ["{line}", ', 1)
    listing = lab.edit("my key", {LAB: mine}, lab.stranger, who="e02")

    assert lab.flags() == [("edit-not-signed", named(listing))]


def test_a_key_that_was_listed_in_a_signed_edit_counts_from_the_next(
    lab: Signing,
) -> None:
    lab.demand()
    line = lab.stranger.with_suffix(".pub").read_text().strip()
    more = lab.lab.replace("keys: [", f'keys: ["{line}", ', 1)  # T07's
    lab.edit("another key of T07", {LAB: more}, lab.e02, who="e02")
    lab.edit("read again", lab.changed(), lab.stranger)

    assert lab.flags() == []


def test_a_key_listed_on_a_branch_counts_there_and_after_the_merge(
    lab: Signing,
) -> None:
    lab.demand()
    git(lab.root, "checkout", "--quiet", "-b", "work")
    line = lab.stranger.with_suffix(".pub").read_text().strip()
    more = lab.lab.replace("keys: [", f'keys: ["{line}", ', 1)
    lab.edit("another key of T07", {LAB: more}, lab.e02, who="e02")
    lab.edit("read again", lab.changed(), lab.stranger)
    git(lab.root, "checkout", "--quiet", "main")
    git(lab.root, "merge", "--quiet", "--no-ff", "--no-edit", "work")

    assert lab.flags() == []


def acknowledged(lab: Signing, commit: str, key: Path | None, who: str) -> str:
    """Sign for a commit; tell the commit that does."""
    return lab.edit(f"seen\n\nAcknowledges: {commit[:12]}", {}, key, who)


def test_who_may_authorize_signs_for_what_was_not_signed(lab: Signing) -> None:
    lab.demand()
    commit = lab.edit("not signed", lab.changed(), None)
    assert lab.flags() == [("edit-not-signed", named(commit))]

    acknowledged(lab, commit, lab.t07, "t07")
    assert lab.flags() == [("edit-not-signed", named(commit))]  # T07 may only test

    acknowledged(lab, commit, None, "e02")
    assert lab.flags() == [("edit-not-signed", named(commit))]  # not signed

    acknowledged(lab, commit, lab.stranger, "e02")
    assert lab.flags() == [("edit-not-signed", named(commit))]  # with no key of E02

    acknowledged(lab, commit, lab.e02, "e02")
    assert lab.flags() == []


def test_for_another_commit_it_does_not_count(lab: Signing) -> None:
    lab.demand()
    one = lab.edit("not signed", lab.changed(), None)
    two = lab.edit("nor this", lab.changed(4), None)
    acknowledged(lab, one, lab.e02, "e02")

    assert lab.flags() == [("edit-not-signed", named(two))]


def test_check_fails_where_an_edit_is_not_signed(lab: Signing) -> None:
    sound_at_first = run("check", "--root", str(lab.root))
    lab.demand()
    demanded = run("check", "--root", str(lab.root))
    lab.edit("not signed", {TEST: sound()[TEST].decode() + "# read\n"}, None)

    done = run("check", "--root", str(lab.root))

    assert sound_at_first.status == 0, sound_at_first.out
    assert demanded.status == 0, demanded.out
    assert done.status == 1
    assert f"{TEST}:1:1: error: edit-not-signed" in done.out


def test_the_published_branch_is_this_clones_or_its_origins(lab: Signing) -> None:
    main = git(lab.root, "rev-parse", "main")
    git(lab.root.parent, "clone", "--quiet", str(lab.root), "theirs")
    theirs = lab.root.parent / "theirs"
    git(theirs, "checkout", "--quiet", "--detach")
    git(theirs, "branch", "--quiet", "-D", "main")

    assert published_tip(lab.root, "main") == main
    assert published_tip(theirs, "main") == main
    assert published_tip(lab.root, "no-such-branch") == "HEAD"


def test_history_says_what_each_signature_is_worth(lab: Signing) -> None:
    lab.edit("signed", lab.changed(), lab.t07)
    lab.edit("strange", lab.changed(4), lab.stranger)

    done = run("history", "ML-101", "--root", str(lab.root))

    said = [line.strip() for line in done.out.splitlines() if "signature:" in line]
    assert said == [
        "signature: unknown key",
        "signature: good, T07",
        "signature: unsigned",
    ], done.out


def history_page(root: Path, out: Path) -> str:
    """Words of the page `history/` of the test, as `build` lays it out."""
    build(root, out, Options(), jobs=1)
    page = (out / "tests/ML-101/history/index.html").read_text(encoding="utf-8")
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


def test_the_page_says_what_each_signature_is_worth(lab: Signing) -> None:
    signed = lab.edit("signed", lab.changed(), lab.t07)
    strange = lab.edit("strange", lab.changed(4), lab.stranger)
    for_another = lab.edit("for T07", lab.changed(5), lab.e02)

    page = history_page(lab.root, lab.root.parent / "site")

    by = "Edited by T07, signed"
    assert f"{by} by T07; commit {signed[:12]}" in page
    assert f"{by} with a key that lab.yaml does not list; commit {strange[:12]}" in page
    assert f"{by} by E02; commit {for_another[:12]}" in page
    assert "not on the staff list, not signed; commit" in page


def test_the_page_is_the_same_wherever_the_published_branch_stands(
    lab: Signing,
) -> None:
    lab.edit("signed", lab.changed(), lab.t07)
    git(lab.root, "checkout", "--quiet", "-b", "proposal")
    mine = lab.lab.replace("keys: [", 'keys: ["ssh-ed25519 AAAA", ')
    lab.edit("another key", {LAB: mine}, lab.e02, who="e02")
    git(lab.root.parent, "clone", "--quiet", str(lab.root), "theirs")
    theirs = lab.root.parent / "theirs"
    git(theirs, "branch", "--quiet", "--move", "proposal", "main")

    here = history_page(lab.root, lab.root.parent / "site")
    there = history_page(theirs, lab.root.parent / "site-of-theirs")

    assert "signed by T07" in here
    assert here == there


def test_a_laboratory_without_keys_pays_for_no_signature(
    lab: Signing, monkeypatch: pytest.MonkeyPatch
) -> None:
    lab.edit("signed", lab.changed(), lab.t07)
    lab.edit("no keys", {LAB: sound()[LAB].decode()}, lab.t07)

    def asked(*_: object) -> None:
        raise AssertionError("no signature is looked at")

    monkeypatch.setattr("buildsite.archive.signatures.signatures", asked)
    page = history_page(lab.root, lab.root.parent / "site")

    assert "Edited by a person not on the staff list; commit" in page
    assert "Hollow" in page
    assert "signed by" not in page
    assert "not signed" not in page


def test_a_build_without_history_looks_at_no_signature(
    lab: Signing, monkeypatch: pytest.MonkeyPatch
) -> None:
    def asked(*_: object) -> None:
        raise AssertionError("no signature is looked at")

    monkeypatch.setattr("buildsite.archive.signatures.signatures", asked)
    options = Options(without_history=True)

    assert build(lab.root, lab.root.parent / "site", options, jobs=1).tests
    assert build(lab.root, lab.root.parent / "two", Options(release=True), jobs=1)
