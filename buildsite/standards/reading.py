"""The YAML files of the standards: found by name, read once, on demand."""

import re
from functools import cache
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent
_HEAD = re.compile(r"^designation: (.+)\n(?:.*\n)*?test: (.+)$", re.MULTILINE)
_APART = re.compile(r"[^a-z0-9]+")
_PARSER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)

Row = dict[str, Any]


@cache
def read(stem: str) -> Row:
    """Return one file, read once, on demand."""
    return parse((HERE / f"{stem}.yaml").read_text(encoding="utf-8"))


def parse(text: str) -> Row:
    """
    Return one mapping, every scalar as the text written.

    Built from the parser's events: half the time of a loader, and a repeated key is
    refused instead of lost.

    >>> parse("layers: {value: 3}")
    {'layers': {'value': '3'}}
    """
    events = _PARSER(text)
    while not isinstance(events.peek_event(), yaml.MappingStartEvent):
        events.get_event()
    built: Row = _node(events, events.get_event())
    return built


def _node(events: Any, event: Any) -> Any:
    """Build the value that begins with `event`."""
    if isinstance(event, yaml.ScalarEvent):
        return event.value
    if isinstance(event, yaml.SequenceStartEvent):
        items = []
        while not isinstance(event := events.get_event(), yaml.SequenceEndEvent):
            items.append(_node(events, event))
        return items
    if not isinstance(event, yaml.MappingStartEvent):
        raise TypeError(f"neither scalar, list nor mapping: {event}")
    built: Row = {}
    while not isinstance(event := events.get_event(), yaml.MappingEndEvent):
        if event.value in built:
            raise ValueError(f"{event.start_mark}: {event.value!r} is repeated")
        built[event.value] = _node(events, events.get_event())
    return built


@cache
def heads() -> dict[str, tuple[str, str]]:
    """
    Every standard's designation and the test it is of, by the name of its file.

    The first lines tell both, so none of the files is parsed.
    """
    found = {}
    for path in sorted(HERE.glob("*.yaml")):
        with path.open(encoding="utf-8") as file:
            head = _HEAD.search(file.read(1000))
        if head:
            found[path.stem] = (head.group(1), head.group(2))
    return found


@cache
def stems(test: str = "") -> dict[str, str]:
    """Designations by the name of their file: those of one test, or all."""
    return {
        stem: designation
        for stem, (designation, of) in heads().items()
        if test in ("", of)
    }


def key(designation: str) -> str:
    """
    Return a designation without spaces, case and punctuation.

    >>> key("AASHTO T 180"), key("aashto t180")
    ('aashtot180', 'aashtot180')
    """
    return _APART.sub("", designation.lower())


@cache
def stem_of(designation: str) -> str | None:
    """
    Return the file of a standard; the publisher's name may be left out.

    >>> stem_of("T 180")
    'aashto-t-180'
    """
    wanted = key(designation)
    for stem in stems():
        publisher, _, number = stem.partition("-")
        if wanted in (key(stem), key(number), key(f"{publisher}{number}")):
            return stem
    return None


def closest(word: str, known: list[str]) -> str | None:
    """
    Return the known name most like `word`, if any is similar.

    >>> closest("AASTHO T-180", ["AASHTO T 180", "ASTM D698"])
    'AASHTO T 180'
    """
    from difflib import get_close_matches  # late: few need it

    by_key = {key(name): name for name in known}
    near = get_close_matches(key(word), list(by_key), n=1, cutoff=0.5)
    return by_key[near[0]] if near else None
