"""
One field of a record set in its text: every other byte stays, comments included.

Whatever is written is read again before it is given back, and compared with what was
there: an amendment that would change anything else is refused.
"""

from collections.abc import Iterator
from typing import Any

from yaml import (
    MappingStartEvent,
    NodeEvent,
    SequenceStartEvent,
    parse,
)
from yaml.events import CollectionEndEvent, Event

from buildsite.record.changes import changes
from buildsite.record.flags import Field, field_path
from buildsite.record.source import Source, Tree, read_source
from buildsite.values import dataclass


class CannotAmend(ValueError):
    """The text is not of a form in which that field can be set and nothing else."""


@dataclass(frozen=True)
class Span:
    """
    Where a value stands in the text: from `start` to `end`, in characters.

    `key` is where its name begins; `flow` says whether it is a scalar or in brackets;
    `blank`, whether nothing was written.
    """

    key: int
    start: int
    end: int
    flow: bool
    blank: bool


def set_field(source: Source, field: Field, value: str, before: str = "") -> bytes:
    """
    Set one field of a record in its text.

    Parameters
    ----------
    source
        The record as it stands.
    field
        The way to the value. One that is absent must be of the record itself.
    value
        As YAML on one line: a scalar, or a mapping in braces.
    before
        Name of the field in front of which a new one is put; else it comes last.

    Raises
    ------
    CannotAmend
        If anything but that field would change.
    """
    if not source.whole:
        raise CannotAmend(f"{source.file} cannot be read as it stands.")
    text = source.data.decode()
    spans = spans_of(text)
    span = spans.get(field)
    if span is not None:
        text = _replaced(text, span, value, field)
    elif len(field) == 1:
        text = _inserted(text, spans.get((before,)), f"{field[0]}: {value}\n")
    else:
        raise CannotAmend(f"{source.file} has no field {field_path(field)} to set.")
    data = text.encode()
    _prove(source, data, field, value)
    return data


def _replaced(text: str, span: Span, value: str, field: Field) -> str:
    """Put a value in place of another."""
    if span.blank:
        return f"{text[: span.start]} {value}{text[span.start :]}"
    if not span.flow:
        raise CannotAmend(
            f"{field_path(field)} is written over several lines: set what is in it."
        )
    return text[: span.start] + value + text[span.end :]


def _inserted(text: str, before: Span | None, line: str) -> str:
    """Put a line in front of a field, or at the end."""
    if before is None:
        return text + ("" if text.endswith("\n") else "\n") + line
    return text[: before.key] + line + text[before.key :]


def _prove(source: Source, data: bytes, field: Field, value: str) -> None:
    """Read what was written: the field says what it should, and nothing else moved."""
    after = read_source(source.file, data)
    wanted = read_source(source.file, f"value: {value}\n".encode())
    worse = not after.whole or len(after.faults) > len(source.faults)
    if worse or _at(after.tree, field) != wanted.tree.get("value"):
        raise CannotAmend(f"{field_path(field)} could not be set in {source.file}.")
    moved = [
        change
        for change in changes(source.tree, after.tree)
        if change.field[: len(field)] != field
    ]
    if moved:
        raise CannotAmend(f"setting {field_path(field)} would move {moved[0]} as well.")


def _at(tree: Tree, field: Field) -> Any:
    here: Any = tree
    for part in field:
        here = here[part]
    return here


def spans_of(text: str) -> dict[Field, Span]:
    """Where every value of a record stands in its text."""
    events = parse(text)
    found: dict[Field, Span] = {}
    for event in events:
        if isinstance(event, MappingStartEvent):
            _collection(event, events, (), found)
    return found


def _spot(mark: Any) -> int:
    """Where a mark of the parser stands, in characters."""
    return int(mark.index)


def _node(
    event: Event,
    events: Iterator[Event],
    field: Field,
    found: dict[Field, Span],
    key: int,
) -> None:
    """Note where one value stands, from its events."""
    start, end = _spot(event.start_mark), _spot(event.end_mark)
    flow = True
    if isinstance(event, MappingStartEvent | SequenceStartEvent):
        flow = bool(event.flow_style)
        end = _collection(event, events, field, found)
    found[field] = Span(key, start, end, flow, blank=start == end)


def _collection(
    event: NodeEvent, events: Iterator[Event], field: Field, found: dict[Field, Span]
) -> int:
    """Note where the values in a list or mapping stand; return where it ends."""
    number = 0
    for inner in events:
        if isinstance(inner, CollectionEndEvent):
            return _spot(inner.end_mark)
        if isinstance(event, MappingStartEvent):
            name = str(getattr(inner, "value", ""))
            key = _spot(inner.start_mark)
            _node(next(events), events, (*field, name), found, key)
        else:
            start = _spot(inner.start_mark)
            _node(inner, events, (*field, number), found, start)
            number += 1
    raise CannotAmend("the text ends inside a value")
