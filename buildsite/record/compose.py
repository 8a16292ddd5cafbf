"""Tree of text scalars from the parser's events, with the place of each."""

import re
from collections.abc import Callable
from typing import Any

from yaml.error import Mark, MarkedYAMLError
from yaml.events import (
    AliasEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from buildsite.record.faults import Faults, Place, StopReading
from buildsite.record.flags import Field
from buildsite.record.messages import quoted
from buildsite.record.unseen import UNSEEN

DEEPEST = 20  # levels of mappings and lists
LONGEST = 5000  # entries of one list; a file of one long list would take an hour

Tree = dict[str, Any]
"""A record as written: mappings, lists and text; None where a value is blank."""

Spots = dict[Any, tuple[int, int, int, int, Any]]
"""By key or index: line and column of the key and of the value, and those below."""

_NO_NUMBER = re.compile(r"[-+]?\.?(nan|inf|infinity)", re.IGNORECASE)

# Events are checked only if a file has one of these signs where a value or key begins.
_SIGNS = (b"&", b"*", b"!", b"<<", b"?", b"nan", b"inf")
_WATCHED = re.compile(
    rb"""(?:^|[\s\[{,:"'?-])
    (?:[&*]\S | ! | << | \?\s | [-+]?\.?(?:nan|inf|infinity)(?:$|[\s,:}\]]))""",
    re.VERBOSE,
)

# Part of a parser's message; text and corrective action shown for it. First match.
_SYNTAX = (
    (
        "mapping values are not allowed",
        "a colon inside a value",
        'put text that contains ": " in quotes',
    ),
    (
        "expected ':'",
        "a line without a colon",
        "write `name: value`, with a space after the colon",
    ),
    (
        "expected ',' or",
        "an unclosed bracket",
        "close the bracket, or put a comma between its entries",
    ),
    (
        "cannot start any token",
        "a character that can't begin plain text",
        "put the text in quotes",
    ),
)
_OPENED = (
    ("end of stream", "unclosed quotes", "close the quotes"),
    ("unexpected document", "unclosed quotes", "close the quotes"),
    (
        "escape",
        "a backslash without a meaning",
        "write \\\\ for a backslash, or use ' instead of \"",
    ),
)
_ELSE = (
    "",
    "text that belongs to no field",
    "check the indentation: the fields of a mapping begin in the same column",
)


class Composer:
    """Builds the tree of one file and records its faults."""

    def __init__(self, faults: Faults, data: bytes) -> None:
        self.faults = faults
        self.blanks = False
        self._quick = not may_need_watching(data)
        self._next: Callable[[], Any] = lambda: None

    def compose(self, next_event: Callable[[], Any]) -> tuple[Tree, Spots]:
        """
        Return the tree of a file and the places of its values.

        Raises
        ------
        StopReading
            If there is no mapping, or it is nested too deep.
        MarkedYAMLError
            If the text is not YAML.
        """
        self._next = next_event
        next_event()  # the stream begins
        start = next_event()
        root = start if type(start) is StreamEndEvent else next_event()
        if type(root) is not MappingStartEvent:
            self._add("not-a-mapping", root.start_mark, _kind(root), ())
            raise StopReading
        self._watch(root, ())
        tree, spots = self._mapping((), 1)
        next_event()  # the document ends
        more = next_event()
        if type(more) is not StreamEndEvent:
            self._add("several-documents", more.start_mark, "a second document", ())
        return tree, spots

    def _add(self, flag: str, mark: Any, found: str, field: Field) -> None:
        self.faults.add(flag, _place(mark), found, field)

    def _mapping(self, field: Field, depth: int) -> tuple[Tree, Spots]:
        following, quick = self._next, self._quick
        tree: Tree = {}
        spots: Spots = {}
        while type(key := following()) is not MappingEndEvent:
            name: str | None
            if quick and type(key) is ScalarEvent and key.value:
                name = key.value
            else:
                name = self._name(key, field, depth)
            event = following()
            if name is not None and name in tree:
                self._twice(key, (*field, name), spots[name][0])
                self._value(event, (*field, name), depth)
                continue
            mark = key.start_mark
            if quick and type(event) is ScalarEvent and event.value:
                value, below = event.value, None
            else:
                at = field if name is None else (*field, name)
                value, below = self._value(event, at, depth)
            if name is None:
                continue
            here = mark if value is None else event.start_mark
            tree[name] = value
            spots[name] = (
                mark.line + 1,
                mark.column + 1,
                here.line + 1,
                here.column + 1,
                below,
            )
        return tree, spots

    def _list(self, field: Field, depth: int) -> tuple[list[Any], Spots]:
        values: list[Any] = []
        spots: Spots = {}
        while type(event := self._next()) is not SequenceEndEvent:
            index = len(values)
            if index == LONGEST:
                found = f"more than {LONGEST} entries"
                self._add("list-too-long", event.start_mark, found, field)
                raise StopReading
            value, below = self._value(event, (*field, index), depth)
            line, column = _place(event.start_mark)
            values.append(value)
            spots[index] = (line, column, line, column, below)
        return values, spots

    def _value(self, event: Any, field: Field, depth: int) -> tuple[Any, Spots | None]:
        """Return the value of an event; `depth` is that of its parent."""
        if type(event) is AliasEvent:
            self._add("alias", event.start_mark, f"*{event.anchor}", field)
            self.blanks = True
            return None, None
        self._watch(event, field)
        if type(event) is ScalarEvent:
            return self._scalar(event, field), None
        if depth == DEEPEST:
            self._add("too-deep", event.start_mark, f"level {depth + 1}", field)
            raise StopReading
        if type(event) is MappingStartEvent:
            return self._mapping(field, depth + 1)
        return self._list(field, depth + 1)

    def _scalar(self, event: Any, field: Field) -> str | None:
        text: str = event.value
        if event.style:
            return self._unhidden(event, field)
        if text and not _NO_NUMBER.fullmatch(text):
            return text
        if text:
            self._add("not-a-number", event.start_mark, text, field)
        self.blanks = True
        return None

    def _unhidden(self, event: Any, field: Field) -> str:
        """Return a text in quotes, without escaped invisible characters."""
        text: str = event.value
        hidden = UNSEEN.search(text) if event.style == '"' else None
        if hidden is None:
            return text
        found = f"the character U+{ord(hidden[0]):04X}, written with a backslash"
        self._add("control-character", event.start_mark, found, field)
        return UNSEEN.sub(" ", text)

    def _watch(self, event: Any, field: Field) -> None:
        if event.anchor is not None:
            self._add("anchor", event.start_mark, f"&{event.anchor}", field)
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self._add("tag", event.start_mark, tag, field)

    def _name(self, key: Any, field: Field, depth: int) -> str | None:
        """Return the name of a field, or None if it has none."""
        if type(key) is not ScalarEvent:
            if type(key) is not AliasEvent:
                self._add("bad-key", key.start_mark, _kind(key), field)
            self._value(key, field, depth)
            return None
        self._watch(key, field)
        name = self._unhidden(key, field)
        if name == "<<" and not key.style:
            self._add("merge-key", key.start_mark, "<<", field)
            return None
        if not name or "\n" in name:
            self._add("bad-key", key.start_mark, quoted(name), field)
            return None
        return name

    def _twice(self, key: Any, field: Field, line: int) -> None:
        found = f"{field[-1]} again, first on line {line}"
        self._add("duplicate-key", key.start_mark, found, field)


def may_need_watching(data: bytes) -> bool:
    r"""
    Return whether a file may contain a value or key that the composer must refuse.

    >>> may_need_watching(b"remarks: sand & gravel infill, dry!")
    False
    >>> may_need_watching(b"points: *before")
    True
    >>> may_need_watching(rb'remarks: "moist\e[8m"')
    True
    """
    if b"\\" in data:
        return True
    low = data.lower()
    return any(sign in low for sign in _SIGNS) and bool(_WATCHED.search(low))


def _place(mark: Mark | Any) -> Place:
    return mark.line + 1, mark.column + 1


def _kind(event: Any) -> str:
    """Return a word for an event."""
    if type(event) is StreamEndEvent:
        return "nothing"
    if type(event) is SequenceStartEvent:
        return "a list"
    if type(event) is MappingStartEvent:
        return "a mapping"
    if type(event) is AliasEvent:
        return "an alias"
    return quoted(event.value) if event.value else "nothing"


def refuse_syntax(error: MarkedYAMLError, faults: Faults) -> None:
    """Record where a text stops being YAML."""
    problem = error.problem or "not YAML"
    if "tag handle" in problem:
        faults.add("tag", _place(error.problem_mark), "a tag")
        return
    # A fault inside quotes is placed where they open.
    for part, found, mend in _OPENED:
        if part in problem and error.context_mark is not None:
            faults.add("yaml-syntax", _place(error.context_mark), found, mend=mend)
            return
    _, found, mend = next((row for row in _SYNTAX if row[0] in problem), _ELSE)
    if "bracket" in found and error.context_mark is not None:
        found = f"an unclosed bracket, opened on line {error.context_mark.line + 1}"
    faults.add("yaml-syntax", _place(error.problem_mark), found, mend=mend)
