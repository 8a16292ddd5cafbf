"""Which program an item may carry: the one that the published branch named before."""

import json
import subprocess
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path

import pytest

from buildsite import software
from buildsite.archive.known_programs import known_programs
from buildsite.errors import ENVIRONMENT
from buildsite.history.walk import read_history
from buildsite.record.canonical import digest
from buildsite.record.issued import read_issued
from buildsite.record.places import SUFFIX
from buildsite.verifying.programs import Programs
from tests.archives import sound as files
from tests.clones import clone, git, write
from tests.issuing.clones import ATTRIBUTES, PROGRAM, TESTS, edit
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
    published,
    put,
    sound,
    verify,
)

ROOT = Path(__file__).parents[2]
INVENTED = "a" * 64
KNOWN = next(iter(known_programs()))
ONTO = ("--onto", "main")


@pytest.fixture
def branch(root: Path) -> Path:
    """A branch with one edit, not issued yet."""
    git(root, "checkout", "--quiet", "-b", "work")
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    return root


def by(
    root: Path, fingerprint: str, *, wrong: str = "", told: str = "", as_: object = ""
) -> str:
    """
    Issue ML-101 r2, claim that a program did it, and commit.

    `wrong` stands for the maximum; `told`, in the kept result, is `as_`.
    """
    issue(root, "ML-101", "--no-commit", reason="Mass of point 3 again")
    *stood, last = items(root)
    names = {x: f"{TESTS}/ML-101.r2.{x}" for x in ("html", "json")}
    html, result = ((root / name).read_bytes() for name in names.values())
    stated = last["software"]["fingerprint"].encode()
    result = result.replace(stated, fingerprint.encode())
    if told:
        result = json.dumps({**json.loads(result), told: as_}).encode()
    changed = {**last, "software": {**last["software"], "fingerprint": fingerprint}}
    if wrong:
        right = last["results"]["maximum_dry_density"].partition(" ")[0]
        html = html.replace(right.encode(), wrong.encode())
        result = result.replace(right.encode(), wrong.encode())
        said = {k: v.replace(right, wrong) for k, v in last["results"].items()}
        changed |= {"results": said}
    changed["result"] = digest(result)
    trees = chained([*stood, changed])
    html = html.replace(last["content"].encode(), trees[-1]["content"].encode())
    trees[-1]["report"] = digest(html)
    write(root, {names["html"]: html, names["json"]: result})
    put(root, trees)
    return commit(root, "Issue ML-101 r2")


def named(root: Path, fingerprint: str | None) -> str:
    """Let the archive name another program, or none, in a commit of its own."""
    if fingerprint is None:
        (root / PROGRAM).unlink()
    else:
        write(root, {PROGRAM: f"# the program\n{fingerprint}\n".encode()})
    return commit(root, "another program")


def notes(root: Path, *asked: str) -> list[str]:
    ran = verify(root, *asked)
    return [one["what"] for one in json.loads(ran.out)["assessed"]]


@pytest.mark.parametrize("fingerprint", [INVENTED, KNOWN])
def test_a_new_item_carries_the_program_that_the_branch_named(
    branch: Path, fingerprint: str
) -> None:
    came = by(branch, fingerprint)

    words = f"issued by a program with fingerprint {fingerprint}; the published branch"
    caught(branch, Fault("ML-101", 2, CHAIN, came), words, *ONTO)


def test_also_against_the_manifest_published_before(root: Path, tmp_path: Path) -> None:
    before = published(root, tmp_path)
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    assert sound(root, "--against", before)
    came = by(root, KNOWN)

    words = f"the published branch names {software.fingerprint()}"
    caught(root, Fault("ML-101", 2, CHAIN, came), words, "--against", before)


def test_what_was_published_before_is_not_new(root: Path, tmp_path: Path) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    by(root, KNOWN)

    assert sound(root, "--against", published(root, tmp_path))


def test_an_invented_fingerprint_is_caught_without_a_base_too(branch: Path) -> None:
    came = by(branch, INVENTED)

    words = f"issued by an unknown program, with fingerprint {INVENTED}"
    caught(branch, Fault("ML-101", 2, CHAIN, came), words)


def test_a_branch_does_not_name_its_own_program(branch: Path) -> None:
    named(branch, INVENTED)
    came = by(branch, INVENTED)

    caught(branch, Fault("ML-101", 2, CHAIN, came), "the published branch", *ONTO)


def test_by_direct_commits_the_commit_before_names_it(
    root: Path, tmp_path: Path
) -> None:
    before = published(root, tmp_path)
    named(root, KNOWN)
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    came = by(root, KNOWN)

    ran = verify(root, "--against", before)

    assert ran.status == ENVIRONMENT, ran.out
    assert f"ML-101 r2 is new, and issued by the program with fingerprint {KNOWN}" in (
        ran.err
    )
    assert came in ran.err
    assert sound(root)


def test_another_program_has_no_question_where_nothing_is_new(
    branch: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(software, "fingerprint", lambda: "b" * 64)

    assert sound(branch, *ONTO)


def test_another_program_says_that_it_can_not_judge_a_new_item(
    branch: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    issue(branch, "ML-101", reason="Mass of point 3 again")
    monkeypatch.setattr(software, "fingerprint", lambda: "b" * 64)

    ran = verify(branch, *ONTO)

    assert ran.status == ENVIRONMENT, ran.out
    assert "its report can't be drawn again here" in ran.err
    assert "Install the program" in ran.err


def test_a_fault_weighs_more_than_what_can_not_be_judged(
    branch: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    issue(branch, "ML-101", reason="Mass of point 3 again")
    (branch / f"{TESTS}/ML-102.r0.json").unlink()
    commit(branch, "removed")
    monkeypatch.setattr(software, "fingerprint", lambda: "b" * 64)

    assert verify(branch, *ONTO).status == 1


@pytest.mark.parametrize("fingerprint", [INVENTED, KNOWN])
@pytest.mark.parametrize("asked", [(), ONTO])
def test_no_assessment_excuses_a_number_of_a_new_item_or_of_an_unknown_program(
    branch: Path, fingerprint: str, asked: Sequence[str]
) -> None:
    by(branch, fingerprint, wrong="199.9")
    issue(branch, "ML-101", "--assess", "2", reason="so it was measured")

    ran = verify(branch, *asked)

    if fingerprint == KNOWN and not asked:  # newer software may compute otherwise
        assert ran.status == 0, ran.out
    else:
        assert ran.status == 1
        assert "issued: maximum dry density 199.9 lb/ft³" in ran.out


def test_an_assessment_excuses_the_fingerprint_of_what_was_published(
    root: Path, tmp_path: Path
) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    by(root, INVENTED)
    before = published(root, tmp_path)
    assert not sound(root)

    issue(root, "ML-101", "--assess", "2", reason="issued by a trial copy")

    assert sound(root)
    assert sound(root, "--against", before)
    (told,) = notes(root)
    assert f"unknown program, with fingerprint {INVENTED}" in told


def test_it_does_not_excuse_it_before_it_is_published(branch: Path) -> None:
    came = by(branch, INVENTED)
    issue(branch, "ML-101", "--assess", "2", reason="issued by a trial copy")

    caught(branch, Fault("ML-101", 2, CHAIN, came), "the published branch", *ONTO)


@pytest.mark.parametrize("fingerprint", [INVENTED, KNOWN])
def test_no_program_excuses_other_values_than_the_inputs_give(
    root: Path, fingerprint: str
) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    issue(root, "ML-101", "--no-commit", reason="Mass of point 3 again")
    *stood, last = items(root)
    about = {**last["software"], "fingerprint": fingerprint}
    used = "sha256:" + "0" * 64
    put(root, chained([*stood, {**last, "software": about, "used": used}]))
    came = commit(root, "Issue ML-101 r2")

    caught(root, Fault("ML-101", 2, CHAIN, came), "other values used")


@pytest.mark.parametrize("part", ["results", "used", "both"])
def test_a_later_honest_revision_hides_nothing(root: Path, part: str) -> None:
    # The branch named the release, as the forger's item does.
    named(root, KNOWN)
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    came = by(root, KNOWN, wrong="" if part == "used" else "199.9")
    if part != "results":
        *stood, last = items(root)
        put(root, chained([*stood, {**last, "used": "sha256:" + "0" * 64}]))
        came = amended(root)
    named(root, software.fingerprint())
    edit(root, RECORD, "mold_and_wet_soil: 8.62", "mold_and_wet_soil: 8.61")
    issue(root, "ML-101", reason="Mass of point 3 once more")

    # It may be that the release computed so, which is told; none used other values.
    if part != "results":
        caught(root, Fault("ML-101", 2, CHAIN, came), "other values used")
    else:
        assert any("issued: maximum dry density 199.9" in one for one in notes(root))


@pytest.mark.parametrize(
    ("told", "as_"), [("external", {"laboratory": "Nobody"}), ("kind", "water-content")]
)
def test_a_kept_result_tells_other_tests_nothing_else(
    root: Path, told: str, as_: object
) -> None:
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    came = by(root, KNOWN, told=told, as_=as_)

    file = f"{TESTS}/ML-101.r2.json"
    words = f"the kept result states another {told} than its inputs give"
    caught(root, Fault("ML-101", 2, file, came), words)


def test_an_assessment_of_results_excuses_no_values_used(root: Path) -> None:
    named(root, KNOWN)
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    by(root, KNOWN, wrong="199.9")
    *stood, last = items(root)
    put(root, chained([*stood, {**last, "used": "sha256:" + "0" * 64}]))
    came = amended(root)
    named(root, software.fingerprint())
    issue(root, "ML-101", "--assess", "2", reason="computed so at that time")

    caught(root, Fault("ML-101", 2, CHAIN, came), "other values used")


def amended(root: Path) -> str:
    """Change the last commit, as somebody does who has not pushed it yet."""
    git(root, "commit", "--quiet", "--all", "--amend", "--no-edit")
    return head(root)


@pytest.mark.parametrize("asked", [(), ("--onto", "HEAD~1")])
def test_a_name_that_is_no_fingerprint_names_no_program(
    root: Path, asked: Sequence[str]
) -> None:
    named(root, "any program\n::error::")
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    claimed = f"nothing readable in {PROGRAM}"
    came = by(root, claimed)

    caught(root, Fault("ML-101", 2, CHAIN, came), claimed, *asked)


def test_where_no_program_is_named_an_unknown_one_is_told(tmp_path: Path) -> None:
    root = unnamed(tmp_path / "lab")
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    by(root, INVENTED)

    assert sound(root)
    (told,) = notes(root)
    assert "unknown program" in told


def test_where_no_program_is_named_a_new_item_is_by_a_known_one(
    tmp_path: Path,
) -> None:
    root = unnamed(tmp_path / "lab")
    git(root, "checkout", "--quiet", "-b", "work")
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    came = by(root, INVENTED)

    caught(root, Fault("ML-101", 2, CHAIN, came), "an unknown program", *ONTO)


def unnamed(root: Path) -> Path:
    """A laboratory whose archive never named a program."""
    clone(root, {**files(), ".gitattributes": ATTRIBUTES})
    git(root, "config", "user.name", "A")
    git(root, "config", "user.email", "a@lab.example")
    issue(root, "ML-101", reason="first issue")
    edit(root, RECORD, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")
    issue(root, "ML-101", reason="Mass of point 3 was misread")
    return root


@pytest.mark.parametrize("how", [None, ""])
def test_to_take_the_name_away_does_not_help(root: Path, how: str | None) -> None:
    named(root, how)
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    came = by(root, INVENTED)

    caught(root, Fault("ML-101", 2, CHAIN, came), "an unknown program")


def test_what_can_not_be_drawn_again_is_told(root: Path) -> None:
    assert "drawn again" not in verify(root).err
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    by(root, KNOWN)

    assert sound(root)
    assert "1 issued item of other programs" in verify(root).err


# The program's own repository


def test_the_code_of_a_commit_has_the_fingerprint_of_a_check_out_of_it(
    tmp_path: Path,
) -> None:
    # By the recipe of docs/trust.md, with sha256sum and sort: none of our code.
    code = {
        "buildsite/__init__.py": b"",
        "buildsite/software.py": b"a = 1\r\n",
        "buildsite/notes.txt": b"not shipped",
        "templates/kept.html": b"<p>",
        "requirements.lock": b"lock\n",
        "docs/a.md": b"no part of it",
    }
    clone(tmp_path, code)
    stored = {name: data.replace(b"\r", b"") for name, data in code.items()}
    lines = [
        f"{sha256(data).hexdigest()}  {name}"
        for name, data in stored.items()
        if not name.startswith(("docs", "buildsite/notes"))
    ]
    done = subprocess.run(
        ["sort", "-k2"],
        input="\n".join(lines) + "\n",
        capture_output=True,
        text=True,
        check=True,
        env={"LC_ALL": "C"},
    )
    wanted = sha256(done.stdout.encode()).hexdigest()

    programs = Programs(tmp_path, read_history(tmp_path), "")
    assert programs.named_at(head(tmp_path)) == wanted


def test_code_and_items_go_in_separate_pushes(branch: Path) -> None:
    git(branch, "checkout", "--quiet", "main")
    write(branch, {"buildsite/software.py": b"a = 1\n"})
    tip = commit(branch, "code")
    git(branch, "checkout", "--quiet", "work")
    git(branch, "rebase", "--quiet", "main")
    programs = Programs(branch, read_history(branch), "")
    base = programs.named_at(tip)
    write(branch, {"buildsite/software.py": b"a = 2\n"})
    theirs = programs.named_at(commit(branch, "other code"))
    assert theirs != base
    came = by(branch, theirs)

    words = f"issued by a program with fingerprint {theirs}; the published branch names"
    caught(branch, Fault("ML-101", 2, CHAIN, came), f"{words} {base}", *ONTO)


def test_to_take_the_code_away_does_not_help_either(tmp_path: Path) -> None:
    root = unnamed(tmp_path / "lab")
    write(root, {"buildsite/software.py": b"a = 1\n"})
    commit(root, "code")
    (root / "buildsite/software.py").unlink()
    (root / "buildsite/software.py").symlink_to("../README.md")
    commit(root, "no code")
    edit(root, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.62")
    came = by(root, INVENTED)

    caught(root, Fault("ML-101", 2, CHAIN, came), "an unknown program")


# The list


def test_every_item_of_the_demo_names_a_known_program() -> None:
    seen = set()
    for path in sorted((ROOT / "records").rglob(f"*{SUFFIX}")):
        issued, flags = read_issued(path.name, path.read_bytes())
        assert issued is not None, flags
        seen |= {item.software.fingerprint for item in issued.items}
    assert seen
    assert seen <= known_programs().keys() | {software.fingerprint()}


def test_the_list_says_what_each_program_is() -> None:
    for fingerprint, program in known_programs().items():
        assert len(fingerprint) == 64
        assert program.version
        assert program.what


def test_an_older_item_of_a_release_that_the_archive_did_not_name_is_told(
    branch: Path,
) -> None:
    # Its report can't be drawn again: it may print any number beside the right one.
    assert notes(branch) == []
    came = by(branch, KNOWN)

    ran = verify(branch)

    assert ran.status == 0, ran.out
    (note,) = json.loads(ran.out)["assessed"]
    assert note["what"].startswith(
        f"issued by another release, with fingerprint {KNOWN}"
    )
    assert (note["test"], note["revision"], note["commit"]) == ("ML-101", 2, came)
    assert f"issued by another release, with fingerprint {KNOWN}" in ran.err
