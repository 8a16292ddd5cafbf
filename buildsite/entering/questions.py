"""The questions of a bench sheet for a record, in order."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.record.compose import Tree
from buildsite.record.flags import Field
from buildsite.record.set_reading import value_at
from buildsite.record.typed import without_blanks
from buildsite.values import dataclass


@dataclass(frozen=True)
class Question:
    """
    One question, and the field of its answer.

    `line` names the line of a list, such as `Point 2`; `label` its container.
    A `gate` asks whether to add a line, and writes nothing. `begun` is written with
    the first answer on a line.
    """

    field: Field
    reading: Reading
    title: str
    line: str = ""
    label: str = ""
    gate: bool = False
    begun: str = ""

    @property
    def lead(self) -> Field:
        """Return the line of a list that the answer belongs to, or the field."""
        for depth, part in enumerate(self.field):
            if isinstance(part, int):
                return self.field[: depth + 1]
        return self.field


ANOTHER = Reading("", "Another?", takes="choice", choices=("no", "yes"), usual="no")


def questions(
    bench: Bench,
    tree: Tree,
    opened: Mapping[Field, int],
    unread: Collection[Field] = (),
    *,
    later: bool = True,
) -> tuple[Question, ...]:
    """
    Return every question; without those of another time, if not `later`.

    `opened` has the number of lines added to each list; `unread` are answers that are
    to be confirmed.
    """
    found: list[Question] = []
    lists: set[Field] = set()
    for part in bench.parts:
        if (part.later or part.when_read) and not later:
            continue
        if part.once:
            asked = [*line_questions(part, part.at, tree, "")]
            if part.when_read and still_to_read(found, tree):
                asked = [
                    one
                    for one in asked
                    if not is_blank(one, tree) and one.field not in unread
                ]
            found += asked
            continue
        first = part.at not in lists
        lists.add(part.at)
        count = lines_wanted(part, tree, opened) if first else None
        found += list_questions(part, tree, count)
    return tuple(found)


def reads_before_later(bench: Bench, tree: Tree) -> bool:
    """Return whether a reading is missing before what is done at another time."""
    if not any(part.later for part in bench.parts):
        return False
    return any(
        one.reading.needed and one.reading.unit and is_blank(one, tree)
        for one in questions(bench, tree, {}, later=False)
        if not one.gate
    )


def still_to_read(before: Sequence[Question], tree: Tree) -> bool:
    """Return whether a reading is missing in a list that was begun, or all are."""
    needed = [one for one in before if one.line and one.reading.unit]
    needed = [one for one in needed if one.reading.needed]
    begun = {one.lead[:-1] for one in needed if not is_blank(one, tree)}
    missing = {one.lead[:-1] for one in needed if is_blank(one, tree)}
    return bool(needed) and (not begun or bool(begun & missing))


def lines_wanted(part: Part, tree: Tree, opened: Mapping[Field, int]) -> int:
    """Return the number of lines of a list: required, written or added."""
    return max(part.times, lines_written(part.at, tree), opened.get(part.at, 0))


def lines_written(field: Field, tree: Tree) -> int:
    """Return the number of lines of a list, without blank ones at its end."""
    lines = value_at(tree, field)
    count = len(lines) if isinstance(lines, list) else 0
    while count and not without_blanks({"line": lines[count - 1]}):
        count -= 1
    return count


def list_questions(part: Part, tree: Tree, count: int | None) -> Iterator[Question]:
    """Yield the questions of a list; with a count, lines may be new or added."""
    lines = count if count is not None else lines_written(part.at, tree)
    for i in range(lines):
        if part.only is not None and i not in part.only:
            continue
        name = f"{part.line} {i + 1}".strip()
        yield from line_questions(part, (*part.at, i), tree, name)
    if count is not None:
        name = f"{part.line} {lines + 1}".strip()
        yield Question((*part.at, lines), ANOTHER, part.title, name, gate=True)


def line_questions(
    part: Part, lead: Field, tree: Tree, name: str
) -> Iterator[Question]:
    """Yield the questions of one line; no blank ones where it is rejected."""
    line = value_at(tree, lead)
    here = line if isinstance(line, dict) else {}
    asked = [one for one in part.readings if not one.paper]
    for within, readings in groupby(asked, key=lambda one: one.within):
        inner = here.get(within) if within else None
        if isinstance(inner, list) and inner:
            group = tuple(readings)
            for k, item in enumerate(inner):
                place = (*lead, within, k)
                yield from reading_questions(part, group, place, item, here, name)
        else:
            yield from reading_questions(part, tuple(readings), lead, here, here, name)


def reading_questions(
    part: Part,
    readings: Sequence[Reading],
    place: Field,
    item: Any,
    line: Mapping[str, Any],
    name: str,
) -> Iterator[Question]:
    """Yield the questions of one group of readings."""
    inside = item if isinstance(item, dict) else {}
    known = inside.get(part.label) if part.label else None
    label = f"{part.label.replace('_', ' ')} {known}" if known else ""
    for reading in readings:
        silent = line.get("rejected") is not None or any(
            line.get(other) is not None for other in reading.unless
        )
        silent |= bool(reading.after) and all(
            line.get(other) is None for other in reading.after
        )
        if silent and value_at(inside, reading.path) is None:
            continue
        yield Question(
            (*place, *reading.path), reading, part.title, name, label, begun=part.begun
        )


def is_blank(question: Question, tree: Tree) -> bool:
    """Return whether a question has no answer yet. A gate never has one."""
    return question.gate or stands_at(tree, question.field) is None


def stands_at(tree: Tree, field: Field) -> Any:
    """Return the value at a path; None if it is absent, or a mapping of blanks."""
    value = value_at(tree, field)
    return value if without_blanks({"value": value}) else None
