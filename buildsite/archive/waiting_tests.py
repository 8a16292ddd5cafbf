"""What each test waits for: the next reading, a check, review, issue, amendment."""

import re
from collections.abc import Callable, Iterator

from buildsite.archive.archive import Archive
from buildsite.archive.drift import MOVED, reported
from buildsite.archive.judged_again import to_judge_again
from buildsite.archive.last_reading import Standing, standing
from buildsite.archive.references import result_of
from buildsite.archive.task import Task, task_of
from buildsite.archive.verdicts import result_to_follow
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import readable_text, reported_word
from buildsite.record.flags import Severity
from buildsite.record.issued import Issued, Item
from buildsite.record.messages import counted
from buildsite.record.places import SUFFIX


def unchanged(archive: Archive, file: str, item: Item) -> bool:
    """Whether every input of a report is as it was: nothing can have moved."""
    return file in item.inputs and all(
        same(archive, name, digest) for name, digest in item.inputs.items()
    )


def same(archive: Archive, name: str, digest: str) -> bool:
    """Whether an input is as a report used it; of a test, its last report."""
    path, _, number = name.partition("#")
    if number:
        issued, _ = archive.chain(f"{path.removesuffix(SUFFIX)}.yaml")
        last = issued.last_report if issued is not None else None
        return last is not None and str(last.revision) == number
    return path in archive.known_names and archive.digest(path) == digest


SinceReview = Callable[[Outcome], str]
"""What changed in a test since its review; blank for nothing."""


def tasks_of_test(archive: Archive, file: str, changed: SinceReview) -> Iterator[Task]:
    """
    Return what a test waits for.

    Cost: a test is parsed if it has no final report, and computed if it is in progress,
    waits, or has an input that changed since its report.
    """
    issued, _ = archive.chain(file)
    item = issued.last_report if issued is not None else None
    status = status_of(archive.read_file(file))
    if item is not None and item.kind == "withdrawal" and status == "withdrawn":
        return
    if issued is not None and item is not None and item.kind != "preliminary":
        if unchanged(archive, file, item):
            return
        yield from amendment_tasks(archive, file, issued)
        return
    if status == "withdrawn":
        return
    made = archive.outcome(file)
    if made is None:
        words = f"{counted(len(archive.flags(file)), 'error')}: it can't be read"
        yield task_of(file, "to-correct", words, f"buildsite check {file}")
    elif made.status == "in-progress":
        yield progress_task(made)
    elif made.status == "complete":
        yield reviewed_task(made, changed)


def reviewed_task(made: Outcome, changed: SinceReview) -> Task:
    """Return the line of a complete test; reviewed again if it changed since."""
    task = waiting_task(made)
    what = changed(made) if task.list == "issue" else ""
    if not what:
        return task
    step = f"buildsite review {made.id} --by CODE"
    return task_of(made.file, "review", f"review again: {what}{warned(made)}", step)


STATUS = re.compile(rb"^status:[ \t]*([a-z-]+)", re.MULTILINE)


def status_of(data: bytes) -> str:
    r"""
    Return the status that a test's text states, without reading it as YAML.

    >>> status_of(b"id: HF-0117\nstatus: complete\n")
    'complete'
    """
    found = STATUS.search(data)
    return found[1].decode() if found else ""


def amendment_tasks(archive: Archive, file: str, issued: Issued) -> Iterator[Task]:
    """Return the line of a test that moved since it was issued."""
    item, made = issued.last_report, archive.outcome(file)
    for flag in archive.issue_flags(file):
        if flag.flag == MOVED.flag and flag.severity is not Severity.NOTE and item:
            again = judge_again_task(archive, file, made)
            if again is not None:
                yield again
                continue
            what = moved_text(made, item) if made is not None else flag.found
            yield task_of(file, "amendment", what, f"buildsite diff {issued.test}")


def judge_again_task(archive: Archive, file: str, made: Outcome | None) -> Task | None:
    """Return the line of an issued verdict whose reference was amended since."""
    if made is None or made.kind.follows is None:
        return None
    again = to_judge_again(archive, file)
    if again is None:
        return None
    kept = result_of(archive, file, again.before)
    follow = made.kind.follows(kept, result_to_follow(made)) if kept else None
    words = f": {follow.words}" if follow is not None else ""
    step = f"buildsite issue {made.id} --authorized-by CODE --reason TEXT"
    return task_of(file, "judge-again", f"{again.why}{words}", step)


def moved_text(made: Outcome, item: Item) -> str:
    """Return what moved since a report: the results, or only values used."""
    texts, method = reported(made), made.case.method
    changes = [
        f"{reported_word(method, name, texts.get(name) or item.results[name])} "
        f"{readable_text(item.results.get(name, 'none'))} now "
        f"{readable_text(texts.get(name, 'none'))}"
        for name in sorted({*texts, *item.results})
        if texts.get(name) != item.results.get(name)
    ]
    found = "; ".join(changes) or "results unchanged, inputs changed"
    return f"r{item.revision}: {found}"


def progress_task(made: Outcome) -> Task:
    """Return the line of a test in progress: last reading and next step."""
    where = standing(made)
    last = where.last.stated if where.last is not None else "nothing read yet"
    step = f"buildsite enter {made.id}"
    if where.oven_in is None:
        then = "; all readings made"
        if where.next is not None:
            then = f"; next: {where.next.words}"
        elif where.required:
            then = f"; still required: {'; '.join(where.required)}"
        return task_of(made.file, "in-progress", f"{last}{then}", step)
    return task_of(
        made.file, "in-the-oven", oven_text(where), step, days=oven_days(where)
    )


def oven_text(where: Standing) -> str:
    """Return since when soil is in the oven, and from when it may be dry."""
    days = dict(oven_days(where))
    ready = f", ready from {days['ready']}" if "ready" in days else ""
    return f"since {days['since']}{ready}"


def oven_days(where: Standing) -> tuple[tuple[str, str], ...]:
    """Return the moments of drying."""
    moments = (("since", where.oven_in), ("ready", where.ready))
    return tuple((name, f"{one:%Y-%m-%d %H:%M}") for name, one in moments if one)


def waiting_task(made: Outcome) -> Task:
    """Return the line of a complete test: correction, entry check, review or issue."""
    record, id, file = made.case.record, made.id, made.file
    entered = getattr(record, "entered", None)
    review = getattr(record, "reviewed", None)
    errors = sum(flag.severity is Severity.ERROR for flag in made.flags)
    if errors:
        words = f"complete, with {counted(errors, 'error')}"
        return task_of(file, "to-correct", words, f"buildsite check {file}")
    if entered is not None and entered.by and not entered.checked_by:
        words = f"readings entered by {entered.by}"
        return task_of(file, "entry-check", words, f"buildsite enter {id}")
    if review is None or review.by is None or review.on is None:
        words = f"complete{warned(made)}"
        return task_of(file, "review", words, f"buildsite review {id} --by CODE")
    words = f"reviewed by {review.by} on {review.on}{warned(made)}"
    step = f"buildsite issue {id} --authorized-by CODE --reason TEXT"
    return task_of(file, "issue", words, step)


def warned(made: Outcome) -> str:
    """Return the number of open warnings in words; blank for none."""
    open_ones = [
        flag
        for flag in made.flags
        if flag.severity is Severity.WARNING and not flag.accepted_by
    ]
    return f", {counted(len(open_ones), 'open warning')}" if open_ones else ""
