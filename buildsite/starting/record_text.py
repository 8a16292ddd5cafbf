"""A record written out from its tree, in the order of its kind's blank."""

from collections.abc import Mapping
from typing import Any

from buildsite.archive.blanks import flow_text, new_record
from buildsite.exports.schema import schema_line
from buildsite.kinds.kind import Kind, Lines
from buildsite.record.flags import Field
from buildsite.record.shape import names_at
from buildsite.record.source import read_source

CALIBRATIONS = Lines("calibrations", "calibration")


def list_of(kind: Kind[Any, Any]) -> Lines | None:
    """Return the list of a record whose every line has a row in a table."""
    if kind.lines is None and CALIBRATIONS.name in names_at(kind.model, ()):
        return CALIBRATIONS
    return kind.lines


def record_text(kind: Kind[Any, Any], file: str, tree: Mapping[str, Any]) -> str:
    """Write a record: a line for each field, and for each line of a list."""
    lines = [schema_line(file, kind.name)]
    for name in field_order(kind):
        value = tree.get(name)
        if isinstance(value, list) and value and isinstance(value[0], dict):
            lines += [f"{name}:", *(f"  - {flow_text(one)}" for one in value)]
        elif value is not None:
            lines.append(f"{name}: {flow_text(value)}")
    return "".join(f"{line}\n" for line in lines)


def field_order(kind: Kind[Any, Any]) -> list[str]:
    """Names of a kind's fields as its blank has them; the others before its list."""
    blank = list(blank_tree(kind, {}))
    rest = [name for name in names_at(kind.model, ()) if name not in blank]
    lines = list_of(kind)
    list_name = lines.name if lines is not None else ""
    at = blank.index(list_name) if list_name in blank else len(blank)
    return [*blank[:at], *rest, *blank[at:]]


def blank_tree(kind: Kind[Any, Any], answers: Mapping[str, str]) -> Mapping[str, Any]:
    """What `new` would write, as a tree; what is blank is None."""
    record = new_record(kind, "id", answers)
    return read_source(record.file, record.text.encode()).tree


def answer_fields(kind: Kind[Any, Any]) -> dict[str, Field]:
    """Where the answer to each question of a kind goes, by the question's name."""
    asks = kind.blank.asks if kind.blank is not None else ()
    marks = {ask.name: f"mark{number}of{ask.name}" for number, ask in enumerate(asks)}
    found = {value: field for field, value in scalars(blank_tree(kind, marks))}
    return {name: found[mark] for name, mark in marks.items() if mark in found}


def scalars(value: Any, lead: Field = ()) -> list[tuple[Field, Any]]:
    """Every scalar of a tree with the way to it; what stands in lists is left out."""
    if isinstance(value, Mapping):
        return [
            pair for name, one in value.items() for pair in scalars(one, (*lead, name))
        ]
    return [] if isinstance(value, list) else [(lead, value)]
