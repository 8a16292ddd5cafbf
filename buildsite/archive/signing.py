"""
Edits where the laboratory demands signatures: which are judged, and what is wrong.

An edit is judged by the line that published it. Each commit came onto the published
branch with one commit of its first-parent line, by itself or in a merge; it is judged
where lab.yaml demands signed edits at that commit or just before. So a branch that
began before the demand brings in nothing unsigned, and who takes the demand out of
lab.yaml must sign that.

Who adds a key must sign with one that counted before. So nobody gives a person a key,
signs with it, and is that person from there on. What was published unsigned can't be
signed any more: who may authorize signs another commit that names it.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from buildsite.archive.edits import codes_by_email, committer_code
from buildsite.kinds.answers import Staff
from buildsite.kinds.laboratory.lab import Laboratory
from buildsite.record.commits import Commit, Past, Signature, StaffKey
from buildsite.record.flags import Flag, Known, Severity
from buildsite.record.issued import SUFFIX, read_issued
from buildsite.record.proof import ABBREVIATION
from buildsite.record.source import read_source
from buildsite.record.typed import read_model
from buildsite.values import dataclass

LAB = "records/lab.yaml"
BASIS = "ISO/IEC 17025:2017, 7.5.2 and 7.11"
NOT_SIGNED = Known(
    "edit-not-signed",
    Severity.ERROR,
    BASIS,
    "An edit without a good signature, where lab.yaml demands signed edits.",
)
BY_ANOTHER = Known(
    "edit-signed-by-another",
    Severity.ERROR,
    BASIS,
    "An edit or an issue signed by another person than it names.",
)
BACKWARDS = Known(
    "edit-dated-backwards",
    Severity.ERROR,
    BASIS,
    "An edit dated before the one that it follows, where edits must be signed.",
)
KNOWN = (NOT_SIGNED, BY_ANOTHER, BACKWARDS)

ACKNOWLEDGES = "acknowledges"
"""Trailer by which a person signs for a commit that was not signed as it should be."""

SKEW = timedelta(hours=1)
"""By so much two honest clocks may differ (common practice); keys hold for days."""


def keys_of(lab: Any) -> tuple[StaffKey, ...]:
    """Keys of the staff, each with the days that its owner's authority holds."""
    if not isinstance(lab, Laboratory):
        return ()
    return tuple(
        StaffKey(code, key, who.from_, who.until)
        for code, who in sorted(lab.staff.items())
        for key in who.keys
    )


def published_states(past: Past) -> Iterator[tuple[Commit, bool]]:
    """
    Walk the first-parent line from the oldest: does lab.yaml demand signatures there?

    Where it can't be read, the demand stands as it stood.
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
    Name, for each commit that must be signed, the commit whose lab.yaml is believed.

    It is the one before it, once that was judged itself; else the published state that
    it was brought to. The first commit that demands signatures vouches for itself: from
    there on a key counts only after an edit signed with a key that counted.
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
    Keys that lab.yaml listed at a commit and lists still, with the days of today.

    Where it can't be read there, it counts as it stood before.
    """
    listed: Any = None
    while listed is None and commit:
        source = read_source(LAB, past.read(commit, LAB) or b"")
        listed = read_model(source, Laboratory)[0] if source.whole else None
        commit = next(iter(past.by_id[commit].parents), "")
    stood = {(one.code, one.key) for one in keys_of(listed)}
    return tuple(one for one in keys_of(lab) if (one.code, one.key) in stood)


def commits_to_judge(past: Past) -> list[Commit]:
    """Commits that must be signed if they changed records, oldest first."""
    judged = believed_commits(past)
    return [commit for commit in reversed(past.commits) if commit.id in judged]


def commits_brought(past: Past, main: Commit, seen: set[str]) -> list[Commit]:
    """Commits that a commit of the line brought with it, itself included."""
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
    Those of the judged whose signature counts.

    They changed records themselves, for a merge may only join; or they acknowledge
    one that did.
    """
    return [c for c in judged if ACKNOWLEDGES in c.trailers or changes_records(c)]


def changes_records(commit: Commit) -> bool:
    """Whether a commit changed records itself."""
    return any(touch.inside for touch in commit.touches)


@dataclass(frozen=True)
class DoubtedCommit:
    """What is wrong with a commit, and who acknowledged it in which other, if any."""

    commit: Commit
    flag: Flag
    acknowledged: str = ""


def signing_flags(
    past: Past,
    judged: Sequence[Commit],
    signatures: Mapping[str, Signature],
    lab: Any,
) -> list[Flag]:
    """Flag every judged edit that is not as lab.yaml demands, and not acknowledged."""
    found = doubted_commits(past, judged, signatures, lab)
    return [one.flag for one in found if not one.acknowledged]


def doubted_commits(
    past: Past,
    judged: Sequence[Commit],
    signatures: Mapping[str, Signature],
    lab: Any,
) -> Iterator[DoubtedCommit]:
    """
    Doubt every judged edit that is not signed as lab.yaml demands.

    Parameters
    ----------
    past
        The published past.
    judged
        What `commits_to_judge` gives.
    signatures
        Of those of them that `commits_to_sign` gives.
    lab
        The laboratory as last published: its keys and addresses.
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
"""Commit, as named → who acknowledges it, and how that is told."""


def acknowledgements(
    judged: Sequence[Commit], signatures: Mapping[str, Signature], lab: Any
) -> Acknowledgements:
    """Commits that a person who may authorize looked at, and signed for, afterwards."""
    found: dict[str, list[tuple[str, str]]] = {}
    staff = lab.staff if isinstance(lab, Laboratory) else {}
    for commit in judged:
        names = commit.trailers.get(ACKNOWLEDGES, "")
        if not names or signatures[commit.id].state != "good":
            continue
        code = signatures[commit.id].code
        who, day = staff[code], date.fromisoformat(commit.day)
        if not Staff(code, "", who.may, who.from_, who.until).had("authorize", day):
            continue
        said = f"acknowledged by {code} in commit {commit.id[:12]}: {commit.subject}"
        for name in names.replace(",", " ").split():
            if len(name) >= ABBREVIATION:
                found.setdefault(name, []).append((code, said))
    return found


def acknowledgement_of(past: Past, commit: Commit, known: Acknowledgements) -> str:
    """Say who acknowledged a commit; of an issue, only who authorized it can."""
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
    """Doubt an edit without a good signature, or with that of another person."""
    later = (
        "; once it is published, a person who may authorize looks at it and signs for "
        f"it: {acknowledge_command(commit)}"
    )
    if signature.state != "good":
        why = f" ({signature.why})" if signature.why else ""
        found = f"{signature.state}{why}"
        expected = "a good signature by a key that lab.yaml listed before"
        mend = f"sign it: git commit --amend --no-edit -S{later}"
        yield _flag(NOT_SIGNED, commit, found, expected, mend)
        return
    for name in people_named(past, commit, emails):
        if name != signature.code:
            found = f"signed by {signature.code}, where it names {name}"
            mend = f"{name} signs it, or the commit names who did it{later}"
            yield _flag(BY_ANOTHER, commit, found, f"the signature of {name}", mend)


def people_named(past: Past, commit: Commit, emails: Mapping[str, str]) -> list[str]:
    """Whom an edit names: its trailer or committer; who authorized what it issues."""
    entered = commit.trailers.get("entered-by", "")
    names = [entered or committer_code(commit, emails)]
    for touch in commit.touches:
        if touch.path.endswith(SUFFIX) and touch.inside:
            names += _authorities(past, commit, touch.path)
    return [name for name in dict.fromkeys(names) if name]


def _authorities(past: Past, commit: Commit, path: str) -> list[str]:
    """Who authorized the items that a commit brought to an issued file."""
    parent = commit.parents[0] if commit.parents else ""
    sides = (past.read(at, path) if at else None for at in (parent, commit.id))
    old, new = (read_issued(path, data)[0] if data else None for data in sides)
    stood = len(old.items) if old is not None else 0
    return [item.authorized_by for item in new.items[stood:]] if new is not None else []


def _backwards(past: Past, commit: Commit) -> Iterator[Flag]:
    """Doubt a commit that claims to be older than the one it follows."""
    if not commit.parents:
        return
    before = past.by_id[commit.parents[0]]
    then, now = (datetime.fromisoformat(one.when) for one in (before, commit))
    if now < then - SKEW:
        found = f"{commit.when}, after an edit of {before.when}"
        mend = "set the clock right, and commit again before it is published"
        yield _flag(BACKWARDS, commit, found, "a later time", mend)


def _flag(known: Known, commit: Commit, found: str, expected: str, mend: str) -> Flag:
    """Place a doubt of a commit at the first record that it changed."""
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
