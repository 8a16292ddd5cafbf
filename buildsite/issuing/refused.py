"""Reasons why something may not be issued, all at once."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path

from buildsite.archive.archive import Archive
from buildsite.archive.drift import MOVED, reported, same_used
from buildsite.archive.issue_item import Order, revision_name
from buildsite.archive.issued_files import link_of_report
from buildsite.archive.last_reading import standing
from buildsite.archive.other_projects import borrowed, project_of
from buildsite.archive.references import tests_relied_on, why_not_final
from buildsite.history.commit import differing
from buildsite.history.run import GitRefused, git
from buildsite.kinds.laboratory.lab import Laboratory
from buildsite.kinds.outcome import Outcome
from buildsite.record.commits import Past
from buildsite.record.flags import Flag, Severity
from buildsite.record.issued import Issued, breaks, grown, read_issued
from buildsite.record.kept_files import why_refused
from buildsite.record.places import SUFFIX


class Refused(Exception):
    """The state of a record doesn't allow it; one reason a line."""

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("\n".join(self.reasons))


def without_authority(
    archive: Archive, code: str, authority: str, on: date
) -> Iterator[str]:
    """Yield why a person has no authority on a date."""
    lab = archive.laboratory
    if lab is None:
        yield "Can't read lab.yaml, which states who is authorized."
        return
    who = lab.staff.get(code)
    if who is None:
        yield unknown_code(lab, code)
        return
    if not who.had(authority, on):
        may = ", ".join(who.may) or "nothing"
        yield (
            f"{code} has no authority to {authority} on {on} (authority: "
            f"{may}{who.days})."
        )


def unknown_code(lab: Laboratory, code: str) -> str:
    """Return that nobody has this staff code, and which codes there are."""
    there = ", ".join(lab.staff)
    return f"{code} is not a staff code in lab.yaml. There are: {there}."


def unfit_to_keep(files: Mapping[str, bytes], lab: Laboratory | None) -> Iterator[str]:
    """Yield why a planned report may not be kept: it must load and run nothing."""
    for name, data in files.items():
        test = name.rpartition("/")[2].rpartition(".r")[0]
        for why in why_refused(name, data, link_of_report(lab, test)):
            yield f"{name} would hold what no kept report may: {why}."


def open_errors(id: str, flags: Iterable[Flag]) -> Iterator[str]:
    """Yield each error of a test, but moved-since-issue: a new issue settles that."""
    for flag in flags:
        if flag.severity is Severity.ERROR and flag.flag != MOVED.flag:
            place = f"{flag.file}:{flag.line}"
            yield f"{id}: error {flag.flag} at {place}: {flag.message}"


def not_ready(outcome: Outcome, order: Order) -> Iterator[str]:
    """Yield why a record is not ready for a report."""
    id, status = outcome.id, outcome.status
    if status == "withdrawn":
        yield f"{id} is withdrawn: first change its status, with the reason."
    if order.sort == "preliminary":
        return
    if status == "in-progress":
        yield (
            f"{still_in_progress(outcome)} Only a preliminary report is possible "
            "before: --preliminary."
        )
    review = getattr(outcome.case.record, "reviewed", None)
    if review is None or review.by is None or review.on is None:
        after = " when it is complete" if status == "in-progress" else ""
        step = f"`buildsite review {id} --by CODE`{after}"
        yield f"{id} is not reviewed: run {step}."
    elif order.on < review.on:
        yield f"{id} was reviewed on {review.on}: it can't be issued on {order.on}."


def still_in_progress(outcome: Outcome) -> str:
    """Return what a test in progress still lacks, and how it is completed."""
    to_read = standing(outcome).next
    left = f": {to_read.words} is still blank" if to_read is not None else ""
    return (
        f"{outcome.id} is still in progress{left}. `buildsite enter {outcome.id}` asks "
        "for what is blank, then whether the test is complete."
    )


def unissued(archive: Archive, outcome: Outcome, order: Order) -> Iterator[str]:
    """Yield the tests used that have no current final report."""
    if order.sort == "preliminary":
        return
    refs = outcome.kind.needs(outcome.case.record)
    for ref, inner, file in tests_relied_on(archive, refs):
        state = why_not_final(archive, file)
        if state:
            through = f" through {ref.id}" if inner is not ref else ""
            yield (
                f"{outcome.id} uses {inner.id}{through}, which is {state}: issue it "
                "first."
            )


def of_other_projects(archive: Archive, outcome: Outcome) -> Iterator[str]:
    """Yield what of other projects a report would rest on and name."""
    refs = outcome.kind.needs(outcome.case.record)
    for one in borrowed(archive, outcome.file, refs):
        through = f" through {one.ref.id}" if one.ref.id != one.id else ""
        yield (
            f"{outcome.id} uses {one.group} {one.id}{through}, of project "
            f"{project_of(one.file)}: its report would tell one customer of another. "
            f"{INSTEAD[one.group]}"
        )


INSTEAD = {
    "sample": "Log the soil in as a sample of this project.",
    "test": "Name a test of this project, or state the value itself with its basis.",
}


def chain_faults(
    id: str, chain: tuple[Issued | None, tuple[Flag, ...]], order: Order
) -> Iterator[str]:
    """Yield why no item can be added to a chain."""
    issued, flags = chain
    yield from open_errors(id, flags)
    if issued is None:
        return
    for broken in breaks(issued.trees) if not order.breaks else ():
        yield (
            f"{revision_name(id, broken.revision)}: {broken.what}. Restore the issued "
            "file as committed; `buildsite verify` shows where it was changed."
        )
    if issued.items and order.on < issued.items[-1].issued_on:
        last = issued.items[-1]
        before = revision_name(id, last.revision)
        yield f"{before} was issued on {last.issued_on}, after {order.on}."


def not_mended(past: Past, issued: Issued, breaks: str) -> Iterator[str]:
    """Yield why a broken chain is not restored."""
    commit = past.by_id.get(breaks)
    if commit is None:
        yield f"{issued.test}: commit {breaks[:12]} is not in this branch's history."
        return
    name = f"/{issued.test}{SUFFIX}"
    paths = {t.path for c in past.commits for t in c.touches if t.path.endswith(name)}
    for path in sorted(paths):
        data = past.read(commit.parents[0], path) if commit.parents else None
        stood, _ = read_issued(path, data) if data is not None else (None, ())
        if stood is not None and not grown(stood.trees, issued.trees):
            yield (
                f"{issued.test}: its items differ from those before commit "
                f"{breaks[:12]}: restore {path} (`git checkout {breaks[:12]}^ -- "
                f"{path}`) and commit it first. An assessment changes no number."
            )


def cut_short(root: Path, id: str, issued: Issued | None) -> Iterator[str]:
    """Yield that an item is in the folder but in no commit."""
    if issued is None:
        return
    chain = issued.source.file
    try:
        data = git(root, "cat-file", "blob", f"HEAD:./{chain}")
    except GitRefused:
        data = b""
    stood, _ = read_issued(chain, data)
    held = len(stood.items) if stood is not None else 0
    if len(issued.items) <= held:
        return
    back = f"`git checkout HEAD -- {chain}`" if held else "delete it"
    yield (
        f"{revision_name(id, held)} is in {chain} but not committed. If it was issued "
        f"with --no-commit, commit it. If the issue was interrupted: {back}, delete "
        f"{chain.removesuffix(SUFFIX)}.r{held}.*, and issue again."
    )


def nothing_moved(
    outcome: Outcome, issued: Issued | None, order: Order
) -> Iterator[str]:
    """Yield that this state was already issued."""
    last = issued.last_report if issued is not None else None
    if last is None or last.kind != order.sort:
        return
    if same_used(outcome, last) and dict(last.results) == reported(outcome):
        kept = revision_name(outcome.id, last.revision)
        yield f"{outcome.id}: nothing changed since {kept}. Send that report again."


def uncommitted(
    root: Path, id: str, files: Mapping[str, bytes | None]
) -> Iterator[str]:
    """Yield the files that differ from HEAD."""
    for name in differing(root, files):
        issued = name.endswith(SUFFIX) or not name.endswith(".yaml")
        mend = "restore it" if issued else "run `buildsite commit`"
        yield f"{id}: {name} differs from the last commit: {mend}."
