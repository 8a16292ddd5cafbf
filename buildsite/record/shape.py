"""What a model accepts at a place: names of fields, choices, types."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, Tag

from buildsite.record.flags import Field
from buildsite.record.messages import join_choices
from buildsite.values import dataclass


def names_at(model: type[BaseModel], way: Sequence[str | int]) -> tuple[str, ...]:
    """Return the fields of a mapping; `way` is its `loc`, with the tags of forms."""
    return tuple(
        dict.fromkeys(
            field.alias or name
            for kind in _kinds_at(model, way)
            if _is_model(kind)
            for name, field in kind.model_fields.items()
        )
    )


def choices_at(model: type[BaseModel], way: Sequence[str | int]) -> tuple[str, ...]:
    """Return the choices of a field; `way` is its `loc`, with the tags of forms."""
    return tuple(
        dict.fromkeys(word for kind in _kinds_at(model, way) for word in _words(kind))
    )


_EXPECTED = {
    datetime: "a time as YYYY-MM-DDTHH:MM",
    date: "a date as YYYY-MM-DD",
    Decimal: "a number",
    int: "a whole number",
    bool: "yes or no",
}


def expected_at(model: type[BaseModel], way: Sequence[str | int]) -> str:
    """Return what a field accepts: a date, a number, some choices; else blank."""
    choices = choices_at(model, way)
    if choices:
        return join_choices(choices)
    kinds = _kinds_at(model, way)
    return next((_EXPECTED[kind] for kind in kinds if kind in _EXPECTED), "")


@dataclass(frozen=True)
class Leaf:
    """A scalar of a record: its path, whether a number, whether it may be a list."""

    field: Field
    number: bool
    several: bool


def leaves(
    model: type[BaseModel], way: Sequence[str | int] = (), lead: Field = ()
) -> Iterator[Leaf]:
    """Yield the scalars below a `loc`, without lists, with `lead` before each."""
    for name in names_at(model, way):
        kinds = _kinds_at(model, (*way, name))
        if any(map(_is_model, kinds)):
            yield from leaves(model, (*way, name), (*lead, name))
            continue
        inside = [get_args(kind)[0] for kind in kinds if get_origin(kind) is tuple]
        below = [one for kind in inside for _, one in _forms(kind)]
        if any(map(_is_model, below)) or any(get_origin(k) is dict for k in kinds):
            continue
        number = bool({Decimal, int} & {*kinds, *below})
        yield Leaf((*lead, name), number, bool(inside))


def _words(kind: Any) -> Iterator[str]:
    if get_origin(kind) is Literal:
        yield from (str(word) for word in get_args(kind))
    elif isinstance(kind, type) and issubclass(kind, Enum):
        yield from (str(member.value) for member in kind)


def _kinds_at(model: type[BaseModel], way: Sequence[str | int]) -> list[Any]:
    """Return the types at the end of a path into a model."""
    kinds: list[Any] = [model]
    for part in way:
        forms = [form for kind in kinds for form in _forms(kind)]
        tagged = [inner for tag, inner in forms if tag is not None and tag == part]
        kinds = tagged or [below for _, inner in forms for below in _step(inner, part)]
    return [inner for kind in kinds for _, inner in _forms(kind)]


def _forms(kind: Any, tag: str | None = None) -> Iterator[tuple[str | None, Any]]:
    """Yield each form of a union, without its annotations, with its tag."""
    origin = get_origin(kind)
    if origin is Annotated:
        inner, *notes = get_args(kind)
        tags = [note.tag for note in notes if isinstance(note, Tag)]
        yield from _forms(inner, tags[0] if tags else tag)
    elif origin is Union or origin is UnionType:
        for one in get_args(kind):
            yield from _forms(one, tag)
    else:
        yield tag, kind


def _step(kind: Any, part: str | int) -> Iterator[Any]:
    """Yield the types one step further: of a field, of entries, of values."""
    if _is_model(kind):
        for name, field in kind.model_fields.items():
            if part == (field.alias or name):
                yield field.annotation
        return
    inside = get_args(kind)
    if get_origin(kind) is dict:
        yield inside[1]
    elif get_origin(kind) in (list, tuple) and isinstance(part, int):
        yield inside[0]


def _is_model(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)
