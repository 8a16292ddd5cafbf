"""A line of what is to be done: what waits, and its next step."""

from collections.abc import Mapping
from typing import Any

from buildsite.archive.identity import name_of
from buildsite.values import dataclass

TITLES: Mapping[str, str] = {
    "in-progress": "In progress",
    "in-the-oven": "In the oven",
    "to-correct": "To be corrected",
    "entry-check": "Waiting for the entry check",
    "review": "Waiting for review",
    "issue": "Waiting for issue",
    "judge-again": "To judge again: issued, and its reference amended since",
    "amendment": "Changed since issue, waiting for amendment",
    "found-wrong": "Equipment found wrong, tests not assessed",
    "due": "Equipment due",
    "retention": "Samples, by the day until which they are kept",
}
"""The lists, in order: name and title."""


@dataclass(frozen=True)
class Task:
    """
    One line: what waits, and its next step.

    `group` is the group of the record; `days` are the days that its text states, by
    what they are: since, ready, due, until. `overdue` is known only on a day.
    """

    list: str
    group: str
    id: str
    what: str
    step: str
    project: str = ""
    days: tuple[tuple[str, str], ...] = ()
    overdue: bool = False


def task_of(file: str, list: str, what: str, step: str, **more: Any) -> Task:
    """Return a line about a test."""
    return Task(list, "test", name_of(file), what, step, file.split("/")[1], **more)
