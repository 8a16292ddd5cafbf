"""What is to be done in the laboratory: tests, equipment and samples, each a line."""

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import chain

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.task import TITLES, Task
from buildsite.archive.waiting_equipment import (
    Wrong,
    due_tasks,
    found_wrong_tasks,
    wrong_of_tests,
)
from buildsite.archive.waiting_tests import SinceReview, tasks_of_test


def tasks(
    archive: Archive, on: date | None, changed: SinceReview = lambda made: ""
) -> list[Task]:
    """
    Return everything that waits, list by list.

    `changed` returns what changed in a test since its review, by the history; blank for
    nothing. Every record is read as text.
    """
    tests = archive.files("test")
    of_tests = (tasks_of_test(archive, file, changed) for file in tests)
    wrong = wrong_of_tests(archive)
    return with_tests(archive, on, chain.from_iterable(of_tests), wrong)


def with_tests(
    archive: Archive,
    on: date | None,
    of_tests: Iterable[Task],
    wrong: Iterable[tuple[str, Sequence[Wrong]]],
) -> list[Task]:
    """
    Return everything that waits, list by list, of tests what is given.

    `wrong` is what each test, by its id, relied on that was found wrong.

    On a day, equipment is listed that is due by then or soon, and samples past their
    date; without one, all with their dates, by date.
    """
    found = [
        *of_tests,
        *found_wrong_tasks(wrong),
        *due_tasks(archive, on),
        *retention_tasks(archive, on),
    ]
    order = list(TITLES)
    return sorted(found, key=lambda task: order.index(task.list))


KEPT = re.compile(rb"^retained_until:[ \t]*([0-9-]{10})", re.MULTILINE)


def retention_tasks(archive: Archive, on: date | None) -> Iterator[Task]:
    """Return samples by the date until which they are kept: on a day, those past it."""
    found = []
    for file in archive.files("sample"):
        if not KEPT.search(archive.read_file(file)):
            continue
        record = archive.entry(file).record
        if record is None or record.retained_until is None or record.discarded:
            continue
        if on is None or record.retained_until < on:
            found.append((record.retained_until, file))
    for until, file in sorted(found):
        id = name_of(file)
        words = f"{until}: discard it, or keep it longer"
        step = f"buildsite enter {id} keeping"
        days = (("until", until.isoformat()),)
        yield Task("retention", "sample", id, words, step, file.split("/")[1], days)
