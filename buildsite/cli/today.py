"""`today`: what is to be done in the laboratory, one line each with the next step."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from datetime import date
from functools import partial
from itertools import groupby
from pathlib import Path

import click

from buildsite.archive.archive import Archive
from buildsite.archive.task import TITLES, Task
from buildsite.archive.today import tasks
from buildsite.cli.common import archive_root, day_or_today, open_archive, root_option
from buildsite.errors import EnvironmentFault
from buildsite.history.run import checkout
from buildsite.kinds.outcome import Outcome


@click.command()
@click.option("--on", "day", metavar="DATE", help="The day. Default: today.")
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@root_option
def today(day: str | None, root: Path | None, *, as_json: bool) -> None:
    """
    List what is to be done, one line each with the next step.

    Tests in progress with their last reading; in the oven, and from when they may be
    dry; waiting for the entry check, review, issue or amendment. Equipment overdue or
    due within 30 days, and found wrong with tests that nobody assessed. Samples past
    the day until which they are kept.

    Example: buildsite today --on 2026-06-01
    """
    on = day_or_today(day)
    folder = archive_root(root)
    found = tasks_by_history(folder, open_archive(folder), on)
    if as_json:
        click.echo(json.dumps(plain(found, on), ensure_ascii=False, indent=2))
    else:
        click.echo("\n".join(lines(found, on)))


def tasks_by_history(root: Path, archive: Archive, on: date) -> list[Task]:
    """Return what waits; what changed since its review, if the history is here."""
    if checkout(root).commit is None:
        return tasks(archive, on)
    from buildsite.archive.edited_after_review import changed_since_review
    from buildsite.archive.record_history import RecordHistory
    from buildsite.archive.states import archive_at
    from buildsite.history.walk import History, read_history

    pasts: list[History] = []
    looks: list[RecordHistory] = []

    def changed(made: Outcome) -> str:
        if not pasts:  # the history is read only if something waits for issue
            pasts.append(read_history(root))
            at = partial(archive_at, pasts[0])
            looks.append(RecordHistory(pasts[0], at, shared=archive.shared))
        return changed_since_review(archive, looks[0], made)

    try:
        return tasks(archive, on, changed)
    except EnvironmentFault as fault:
        click.echo(f"Changes since a review were not checked. {fault}", err=True)
        return tasks(archive, on)
    finally:
        for past in pasts:
            past.blobs.close()


def plain(found: Sequence[Task], on: date) -> dict[str, object]:
    """Return the lines as plain data."""
    listed = [{**asdict(task), "days": dict(task.days)} for task in found]
    return {"format": 1, "on": on.isoformat(), "tasks": listed}


def lines(found: Sequence[Task], on: date) -> Iterator[str]:
    """Return the lists as text; each line ends with its next step."""
    yield f"{on}" + ("" if found else ": nothing is waiting.")
    for name, group in groupby(found, key=lambda task: task.list):
        listed = list(group)
        yield f"{TITLES[name]}: {len(listed)}"
        wide = max(len(task.id) for task in listed)
        for task in listed:
            yield f"  {task.id:<{wide}}  {task.what} → {task.step}"
