"""
Typed record from a tree of text; pydantic's errors become flags.

They are reworded for a person at the bench, at the line and column of the field, each
fault once.
"""

from collections.abc import Sequence
from contextlib import suppress
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from buildsite.record.faults import Faults, StopReading
from buildsite.record.flags import Field, Flag
from buildsite.record.model_errors import ErrorText, describe_error, unknown_name
from buildsite.record.reading import Model
from buildsite.record.shape import names_at
from buildsite.record.source import Source

M = TypeVar("M", bound=Model)

_HIDDEN_VALUE = {"alias", "not-a-number"}


def read_model(source: Source, model: type[M]) -> tuple[M | None, list[Flag]]:
    """Return a record of a kind, None if it has a fault; and its faults, by line."""
    if not source.whole:
        return None, list(source.faults)
    flags = list(source.faults)
    tree, record = source.tree, None
    if source.blanks:
        tree = without_blanks(tree)
        flags += _unknown_blanks(source, model)
    try:
        record = model.model_validate(tree)
    except ValidationError as error:
        flags += flags_of_errors(error.errors(include_url=False), source, model)
    flags.sort(key=lambda flag: flag.order)
    return (None if flags else record), flags


def without_blanks(tree: dict[str, Any]) -> dict[str, Any]:
    """
    Return a tree without blank values, and without mappings of blanks.

    >>> without_blanks({"id": "HF-0117", "reviewed": {"on": None, "by": None}})
    {'id': 'HF-0117'}
    """
    return {
        name: _without_blanks(value)
        for name, value in tree.items()
        if not _is_blank(value)
    }


def _without_blanks(value: Any) -> Any:
    if isinstance(value, dict):
        return without_blanks(value)
    if isinstance(value, list):  # an entry keeps its number, even if it is blank
        return [_without_blanks(entry) for entry in value]
    return value


def _is_blank(value: Any) -> bool:
    """Whether a value is blank throughout; a written list or {} is not."""
    if isinstance(value, dict) and value:
        return all(_is_blank(inner) for inner in value.values())
    return value is None


def _unknown_blanks(source: Source, model: type[Model]) -> list[Flag]:
    """Return flags of unknown names without a value."""
    faults = Faults(source.file)
    waiting: list[tuple[Field, Any]] = [((), source.tree)]
    with suppress(StopReading):
        while waiting:
            field, value = waiting.pop()
            inside = value if isinstance(value, dict) else {}
            known = names_at(model, field) if inside else ()
            for name, inner in inside.items():
                if known and name not in known and _is_blank(inner):
                    _add(unknown_name(name, known), faults, (*field, name), source)
            parts = enumerate(value) if isinstance(value, list) else inside.items()
            waiting.extend(((*field, part), inner) for part, inner in parts)
    return faults.flags


def flags_of_errors(
    errors: Sequence[ErrorDetails], source: Source, model: type[Model]
) -> list[Flag]:
    """Return pydantic's errors as flags, by line."""
    faults = Faults(source.file)
    seen: set[tuple[str, Field]] = set()
    with suppress(StopReading):
        for error in errors:
            field = _field(error, source)
            seen_before = (error["type"], field) in seen
            if not seen_before and not _already_flagged(error, field, source):
                seen.add((error["type"], field))
                _add(describe_error(error, field, model), faults, field, source)
    return list(faults.sorted())


def _add(text: ErrorText, faults: Faults, field: Field, source: Source) -> None:
    where = source.key_place if text.by_name else source.place
    faults.add(
        text.flag,
        where(field),
        text.found,
        field,
        expected=text.expected,
        mend=text.mend,
    )


def _field(error: ErrorDetails, source: Source) -> Field:
    """
    Return the path of the value, without pydantic's own parts.

    Its `loc` also names the form of a union that was tried, and the key of a mapping.
    A part that is not in the tree is pydantic's own, unless it is the missing field.
    """
    here: Any = source.tree
    field: list[str | int] = []
    parts = error["loc"]
    for number, part in enumerate(parts, start=1):
        last = number == len(parts)
        if _holds(here, part):
            here = here[part]
        elif not (last and error["type"] == "missing"):
            continue
        field.append(part)
    return tuple(field)


def _holds(here: Any, part: str | int) -> bool:
    if isinstance(here, dict):
        return part in here
    return isinstance(here, list) and isinstance(part, int) and part < len(here)


def _already_flagged(error: ErrorDetails, field: Field, source: Source) -> bool:
    """Whether the reader has already flagged the value."""
    if error["type"] == "extra_forbidden":
        return False
    for fault in source.faults:
        if fault.flag in _HIDDEN_VALUE and field[: len(fault.field)] == fault.field:
            return True
        if fault.flag == "merge-key" and error["type"] == "missing":
            return fault.field == field[:-1]
    return False
