"""
The act of a line made on another day than the test, or by another person.

A point compacted on a later day is not of the first day and the first person. With the
first reading that the act makes, the line states its own; where no line was made yet,
the test does.
"""

from typing import Any

from buildsite.entering.questions import Question, stands_at
from buildsite.record.compose import Tree
from buildsite.record.flags import Field
from buildsite.record.set_reading import set_reading, value_at
from buildsite.record.source import Source, read_source

Made = tuple[str, str]
"""The day of an act, and the staff code of the person."""


def stated(tree: Tree, field: Field) -> Made:
    """Return an act as the record states it; blank where it does not."""
    day, who = (value_at(tree, (*field, part)) for part in ("on", "by"))
    return str(day or ""), str(who or "")


def act_to_state(tree: Tree, question: Question, made: Made) -> Field:
    """
    Return where the act is to be stated with this answer; () where it is already.

    An answer in place of another states nothing: the line was made when it was read.
    """
    act = question.reading.acts
    if not act or stands_at(tree, question.field) is not None:
        return ()
    if stated(tree, (act,)) == made or stands_at(tree, (*question.lead, act)):
        return ()
    return (*question.lead, act) if line_made(tree, question) else (act,)


def line_made(tree: Tree, question: Question) -> bool:
    """Return whether a line of the list was made before."""
    *lists, _ = question.lead
    lines: Any = value_at(tree, tuple(lists))
    name = question.reading.name
    return any(
        stands_at(tree, (*lists, i, name)) is not None for i in range(len(lines or ()))
    )


def with_act(source: Source, field: Field, made: Made) -> bytes:
    """Return the record's text with an act."""
    for part, value in zip(("on", "by"), made, strict=True):
        data = set_reading(source, (*field, part), value)
        source = read_source(source.file, data)
    return source.data
