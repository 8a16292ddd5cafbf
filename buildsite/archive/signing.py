"""
Edits if the laboratory requires signatures: which are checked, and their flags.

Each commit came onto the published branch with one commit of its first-parent line, by
itself or in a merge; it is checked if lab.yaml requires signed edits at that commit or
just before. So a branch that began before the requirement can't bring in unsigned
edits, and removing the requirement from lab.yaml must be signed.

Adding a key must be signed with a key that was valid before. So nobody can give another
person a key, sign with it, and act as that person. An edit published unsigned can't be
signed later: a person who may authorize signs another commit that names it.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from buildsite.archive.edits import codes_by_email, committer_code
from buildsite.kinds.laboratory.lab import Laboratory
from buildsite.record.commits import Commit, Past, Signature, StaffKey
from buildsite.record.flags import Flag, Known, Severity
from buildsite.record.issued import read_issued
from buildsite.record.places import LAB, SUFFIX
from buildsite.record.proof import ABBREVIATION
from buildsite.record.source import read_source
from buildsite.record.typed import read_model
from buildsite.values import dataclass

BASIS = "ISO/IEC 17025:2017, 7.5.2 and 7.11"
NOT_SIGNED = Known(
    "edit-not-signed",
    Severity.ERROR,
    BASIS,
    "An edit without a good signature, although lab.yaml requires signed edits.",
)
BY_ANOTHER = Known(
    "edit-signed-by-another",
    Severity.ERROR,
    BASIS,
    "An edit or issue signed by a person other than the one it names.",
)
BACKWARDS = Known(
    "edit-dated-backwards",
    Severity.ERROR,
    BASIS,
    "An edit dated before the one it follows, if edits must be signed.",
)
KNOWN = (NOT_SIGNED, BY_ANOTHER, BACKWARDS)

ACKNOWLEDGES = "acknowledges"
"""Trailer by which a person signs for a commit that was not properly signed."""

SKEW = timedelta(hours=1)
"""Permitted difference of two clocks (common practice); keys are valid by day."""


def keys_of(lab: Any) -> tuple[StaffKey, ...]:
    """Return the keys of the staff, with the dates of each person's authorization."""
    if not isinstance(lab, Laboratory):
        return ()
    return tuple(
        StaffKey(code, key, who.from_, who.until)
        for code, who in sorted(lab.staff.items())
        for key in who.keys
    )


def published_states(past: Past) -> Iterator[tuple[Commit, bool]]:
    """
    Return the first-parent line from the oldest, and if signatures are required.

    If lab.yaml can't be read, the requirement is as before.
    """
    known: dict[str, bool] = {"": False}
    demanded = False
    for commit in reversed(past.main):
        blob = past.blob(commit.id, LAB)
        if blob not in known:
            known[blob] = _demanded(past.read(commit.id, LAB) or b"", before=demanded)
        demanded = known[blob]
        yield commit, demanded


def _demanded(data: bytes, *, before: bool) -> bool:
    source = read_source(LAB, data)
    if not source.whole:
        return before
    procedures = source.tree.get("procedures")
    chosen = procedures if isinstance(procedures, dict) else {}
    return chosen.get("signed_edits") == "yes"


def believed_commits(past: Past) -> dict[str, str]:
    """
    Return, for each commit that must be signed, the commit whose lab.yaml counts.

    It is the one before it, if that is checked itself; else the published state that it
    was added to. The first commit that requires signatures counts for itself: after it
    a key is valid only after an edit signed with a valid key.
    """
    found: dict[str, str] = {}
    seen: set[str] = set()
    before, last = False, ""
    for main, now in published_states(past):
        came = commits_brought(past, main, seen)
        if now or before:
            found |= dict.fromkeys((c.id for c in came), last if before else main.id)
        before, last = now, main.id
    return {
        id: parents[0]
        if (parents := past.by_id[id].parents)[:1] and parents[0] in found
        else line
        for id, line in found.items()
    }


def keys_before(past: Past, commit: str, lab: Any) -> tuple[StaffKey, ...]:
    """
    Return the keys listed at a commit and still listed, with the present dates.

    If lab.yaml can't be read there, the one before it counts.
    """
    listed: Any = None
    while listed is None and commit:
        source = read_source(LAB, past.read(commit, LAB) or b"")
        listed = read_model(source, Laboratory)[0] if source.whole else None
        commit = next(iter(past.by_id[commit].parents), "")
    stood = {(one.code, one.key) for one in keys_of(listed)}
    return tuple(one for one in keys_of(lab) if (one.code, one.key) in stood)


def commits_to_judge(past: Past) -> list[Commit]:
    """Return the commits that must be signed if they changed records, oldest first."""
    judged = believed_commits(past)
    return [commit for commit in reversed(past.commits) if commit.id in judged]


def commits_brought(past: Past, main: Commit, seen: set[str]) -> list[Commit]:
    """Return the commits that a commit of the line brought, itself included."""
    waiting, came = [main.id], []
    while waiting:
        id = waiting.pop()
        if id in seen:
            continue
        seen.add(id)
        came.append(past.by_id[id])
        waiting += past.by_id[id].parents
    return came


def commits_to_sign(judged: Sequence[Commit]) -> list[Commit]:
    """
    Return those of the checked commits whose signature counts.

    They changed records themselves (a merge may not), or acknowledge one that did.
    """
    return [c for c in judged if ACKNOWLEDGES in c.trailers or changes_records(c)]


def changes_records(commit: Commit) -> bool:
    """Whether a commit changed records itself."""
    return any(touch.inside for touch in commit.touches)


@dataclass(frozen=True)
class DoubtedCommit:
    """A flagged commit, and who acknowledged it in which other commit, if any."""

    commit: Commit
    flag: Flag
    acknowledged: str = ""


def signing_flags(
    past: Past,
    judged: Sequence[Commit],
    signatures: Mapping[str, Signature],
    lab: Any,
) -> list[Flag]:
    """Return the flags of checked edits, unless acknowledged."""
    found = doubted_commits(past, judged, signatures, lab)
    return [one.flag for one in found if not one.acknowledged]


def doubted_commits(
    past: Past,
    judged: Sequence[Commit],
    signatures: Mapping[str, Signature],
    lab: Any,
) -> Iterator[DoubtedCommit]:
    """
    Return the checked edits that are not signed as lab.yaml requires.

    `judged` are from `commits_to_judge`, `signatures` are those of `commits_to_sign`,
    `lab` is the laboratory's record as last published.
    """
    emails = codes_by_email(lab)
    known = acknowledgements(judged, signatures, lab)
    for commit in judged:
        flags = list(_backwards(past, commit))
        if changes_records(commit):
            flags += _signed(past, commit, signatures[commit.id], emails)
        for flag in flags:
            yield DoubtedCommit(commit, flag, acknowledgement_of(past, commit, known))


Acknowledgements = Mapping[str, Sequence[tuple[str, str]]]
"""Commit, as named → who acknowledges it, and in which words."""


def acknowledgements(
    judged: Sequence[Commit], signatures: Mapping[str, Signature], lab: Any
) -> Acknowledgements:
    """Return the commits that a person who may authorize signed for afterwards."""
    found: dict[str, list[tuple[str, str]]] = {}
    staff = lab.staff if isinstance(lab, Laboratory) else {}
    for commit in judged:
        names = commit.trailers.get(ACKNOWLEDGES, "")
        if not names or signatures[commit.id].state != "good":
            continue
        code = signatures[commit.id].code
        who, day = staff[code], date.fromisoformat(commit.day)
        if not who.had("authorize", day):
            continue
        said = f"acknowledged by {code} in commit {commit.id[:12]}: {commit.subject}"
        for name in names.replace(",", " ").split():
            if len(name) >= ABBREVIATION:
                found.setdefault(name, []).append((code, said))
    return found


def acknowledgement_of(past: Past, commit: Commit, known: Acknowledgements) -> str:
    """Return who acknowledged a commit; of an issue, only the person who authorized."""
    issuers = {
        code
        for touch in commit.touches
        if touch.path.endswith(SUFFIX) and touch.inside
        for code in _authorities(past, commit, touch.path)
    }
    for name, answers in known.items():
        for code, said in answers if commit.id.startswith(name) else ():
            if issuers <= {code}:
                return said
    return ""


def acknowledge_command(commit: Commit) -> str:
    """Return the command by which a person signs for a commit afterwards."""
    trailer = f"{ACKNOWLEDGES.capitalize()}: {commit.id[:12]}"
    return f'`git commit -S --allow-empty -m "WHY" --trailer "{trailer}"`'


def _signed(
    past: Past, commit: Commit, signature: Signature, emails: Mapping[str, str]
) -> Iterator[Flag]:
    """Return the flags of an edit without a good signature, or of another person."""
    later = (
        "; if it is published already, a person who may authorize checks it and signs "
        f"for it: {acknowledge_command(commit)}"
    )
    if signature.state != "good":
        why = f" ({signature.why})" if signature.why else ""
        found = f"{signature.state}{why}"
        expected = "a good signature by a key already listed in lab.yaml"
        mend = f"sign it: `git commit --amend --no-edit -S`{later}"
        yield _flag(NOT_SIGNED, commit, found, expected, mend)
        return
    for name in people_named(past, commit, emails):
        if name != signature.code:
            found = f"signed by {signature.code}, but it names {name}"
            mend = f"have {name} sign it, or name the person who made it{later}"
            yield _flag(BY_ANOTHER, commit, found, f"the signature of {name}", mend)


def people_named(past: Past, commit: Commit, emails: Mapping[str, str]) -> list[str]:
    """Return whom an edit names: trailer or committer, and who authorized an issue."""
    entered = commit.trailers.get("entered-by", "")
    names = [entered or committer_code(commit, emails)]
    for touch in commit.touches:
        if touch.path.endswith(SUFFIX) and touch.inside:
            names += _authorities(past, commit, touch.path)
    return [name for name in dict.fromkeys(names) if name]


def _authorities(past: Past, commit: Commit, path: str) -> list[str]:
    """Return who authorized the items that a commit added to an issued file."""
    parent = commit.parents[0] if commit.parents else ""
    sides = (past.read(at, path) if at else None for at in (parent, commit.id))
    old, new = (read_issued(path, data)[0] if data else None for data in sides)
    stood = len(old.items) if old is not None else 0
    return [item.authorized_by for item in new.items[stood:]] if new is not None else []


def _backwards(past: Past, commit: Commit) -> Iterator[Flag]:
    """Return the flag of a commit dated before the one it follows."""
    if not commit.parents:
        return
    before = past.by_id[commit.parents[0]]
    then, now = (datetime.fromisoformat(one.when) for one in (before, commit))
    if now < then - SKEW:
        found = f"{commit.when}, after an edit of {before.when}"
        mend = "set the clock, and commit again before publishing"
        yield _flag(BACKWARDS, commit, found, "a later time", mend)


def _flag(known: Known, commit: Commit, found: str, expected: str, mend: str) -> Flag:
    """Return a flag of a commit, at the first record that it changed."""
    touched = [touch.path for touch in commit.touches if touch.inside]
    return Flag(
        flag=known.flag,
        severity=known.severity,
        basis=known.basis,
        file=touched[0] if touched else LAB,
        line=1,
        column=1,
        field=(),
        found=f"commit {commit.id[:12]}: {found}",
        expected=expected,
        mend=mend,
    )
