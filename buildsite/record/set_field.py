"""
Setting one field of a record in its text: every other byte stays, comments included.

The new text is read again and compared with the old: a change of anything else is
refused.
"""

from collections.abc import Callable, Iterator
from copy import deepcopy
from itertools import pairwise
from typing import Any

from yaml import (
    MappingStartEvent,
    NodeEvent,
    SequenceStartEvent,
    parse,
)
from yaml.events import CollectionEndEvent, Event

from buildsite.record.compose import Tree
from buildsite.record.flags import Field, field_path
from buildsite.record.source import Source, read_source
from buildsite.values import dataclass


class CannotAmend(ValueError):
    """The text doesn't allow that field to be set without changing anything else."""


@dataclass(frozen=True)
class Span:
    """
    Place of a value in the text: from `start` to `end`, in characters.

    `key`: where its name begins; `flow`: a scalar or in brackets; `blank`: not written.
    """

    key: int
    start: int
    end: int
    flow: bool
    blank: bool


def set_field(source: Source, field: Field, value: str, before: str = "") -> bytes:
    """
    Return the text of a record with one field set. Raise CannotAmend if it can't be.

    An absent field must be one of the record itself; it is put before the field named
    `before`, else last. `value` is YAML on one line.
    """
    if not source.whole:
        raise CannotAmend(f"{source.file} can't be read.")
    text = source.data.decode()
    spans = spans_of(text)
    span = spans.get(field)
    if span is not None:
        text = _replace_value(text, span, value, field)
    elif len(field) == 1:
        text = _insert_line(text, spans.get((before,)), f"{field[0]}: {value}\n")
    else:
        raise CannotAmend(f"{source.file} has no field {field_path(field)} to set.")
    return prove_change(source, text, lambda tree: set_in(tree, field, value))


def _replace_value(text: str, span: Span, value: str, field: Field) -> str:
    """Replace a value."""
    if span.blank:
        return f"{text[: span.start]} {value}{text[span.start :]}"
    if not span.flow:
        raise CannotAmend(
            f"{field_path(field)} is written over several lines: set its parts."
        )
    return text[: span.start] + value + text[span.end :]


def _insert_line(text: str, before: Span | None, line: str) -> str:
    """Insert a line before a field, or at the end."""
    if before is None:
        return text + ("" if text.endswith("\n") else "\n") + line
    return text[: before.key] + line + text[before.key :]


def set_in(tree: Tree, field: Field, value: str) -> None:
    """Set a field of a tree."""
    here: Any = tree
    for part, following in pairwise((*field, None)):
        if isinstance(here, list) and part == len(here):
            here.append(None)
        if following is None:
            here[part] = read_source("v", f"v: {value}\n".encode()).tree.get("v")
        elif (here.get(part) if isinstance(here, dict) else here[part]) is None:
            here[part] = [] if isinstance(following, int) else {}
        here = here[part]


def prove_change(source: Source, text: str, done: Callable[[Tree], None]) -> bytes:
    """Return the new text, proved to differ from the old only as intended."""
    after = read_source(source.file, text.encode())
    expected = deepcopy(source.tree)
    done(expected)
    worse = not after.whole or len(after.faults) > len(source.faults)
    if worse or after.tree != expected:
        raise CannotAmend(
            f"{source.file} can't be changed there without changing more."
        )
    return text.encode()


def spans_of(text: str) -> dict[Field, Span]:
    """Return the place of every value in a text."""
    events = parse(text)
    found: dict[Field, Span] = {}
    for event in events:
        if isinstance(event, MappingStartEvent):
            _take_collection(event, events, (), found)
    return found


def _index(mark: Any) -> int:
    """Return the place of a parser's mark, in characters."""
    return int(mark.index)


def _take_value(
    event: Event,
    events: Iterator[Event],
    field: Field,
    found: dict[Field, Span],
    key: int,
) -> None:
    """Record the place of one value, from its events."""
    start, end = _index(event.start_mark), _index(event.end_mark)
    flow = True
    if isinstance(event, MappingStartEvent | SequenceStartEvent):
        flow = bool(event.flow_style)
        end = _take_collection(event, events, field, found)
    found[field] = Span(key, start, end, flow, blank=start == end)


def _take_collection(
    event: NodeEvent, events: Iterator[Event], field: Field, found: dict[Field, Span]
) -> int:
    """Record the places of the values in a list or mapping; return its end."""
    number = 0
    for inner in events:
        if isinstance(inner, CollectionEndEvent):
            return _index(inner.end_mark)
        if isinstance(event, MappingStartEvent):
            name = str(getattr(inner, "value", ""))
            key = _index(inner.start_mark)
            _take_value(next(events), events, (*field, name), found, key)
        else:
            start = _index(inner.start_mark)
            _take_value(inner, events, (*field, number), found, start)
            number += 1
    raise CannotAmend("the text ends inside a value")
