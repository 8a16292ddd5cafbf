"""
Frozen values as JSON and back, by the types of their fields.

A data class is the list of its fields in order, so what is written is small, and is
read only by a program with the same classes: what keeps it keeps the fingerprint too.
Nothing is guessed. A value that its type does not say is refused when it is written,
never read back as another.
"""

import sys
from base64 import b64decode, b64encode
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import (
    Any,
    ForwardRef,
    Literal,
    NamedTuple,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

Change = Callable[[Any], Any]

PLAIN = (str, int, float, bool, NoneType)
"""Types that JSON has itself, each read back as what was written."""


class Form(NamedTuple):
    """How values of a type are written, and read."""

    write: Change
    read: Change


def same(value: Any) -> Any:
    """Return a value as it is."""
    return value


def plain(value: Any) -> Any:
    """Return a value that JSON has; refuse another."""
    if type(value) not in PLAIN:
        raise TypeError(f"{value!r} has no form in JSON where a plain value is stated")
    return value


AS_IT_IS = Form(plain, same)


@cache
def form_of(kind: Any) -> Form:
    """
    Return the form of a type.

    >>> form = form_of(tuple[date | None, ...])
    >>> form.write((date(2026, 3, 11), None))
    ['2026-03-11', None]
    >>> form.read(['2026-03-11', None])
    (datetime.date(2026, 3, 11), None)

    Raises
    ------
    TypeError
        If values of the type have no form.
    """
    origin, inner = get_origin(kind), get_args(kind)
    if kind in PLAIN or origin is Literal:
        return AS_IT_IS
    if kind in SIMPLE:
        return SIMPLE[kind]
    if origin is not None:
        return form_of_several(kind, origin, inner)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return Form(lambda value: value.value, kind)
    if is_dataclass(kind) or hasattr(kind, "_fields"):
        return Fields(kind).form()
    raise TypeError(f"values of {kind} have no form in JSON")


def form_of_several(kind: Any, origin: Any, inner: tuple[Any, ...]) -> Form:
    """Return the form of a type made of others."""
    if origin in (Union, UnionType):
        return union(inner)
    if origin is tuple:
        return sequence(inner[0]) if inner[1:] == (...,) else fixed(inner)
    if origin is frozenset:
        return frozen_set(inner[0])
    if issubclass(origin, Mapping):
        return mapping(*inner)
    raise TypeError(f"values of {kind} have no form in JSON")


SIMPLE = {
    date: Form(date.isoformat, date.fromisoformat),
    Decimal: Form(str, Decimal),
    bytes: Form(lambda value: b64encode(value).decode(), b64decode),
}


def sequence(kind: Any) -> Form:
    """Return the form of a tuple of any number of one type."""
    write, read = form_of(kind)
    if write is plain:
        return Form(lambda value: list(map(plain, value)), tuple)
    return Form(
        lambda value: [write(one) for one in value],
        lambda kept: tuple([read(one) for one in kept]),
    )


def fixed(kinds: Sequence[Any]) -> Form:
    """Return the form of a tuple of certain types."""
    writes, reads = zip(*map(form_of, kinds), strict=True) if kinds else ((), ())
    return Form(
        lambda value: [write(one) for write, one in zip(writes, value, strict=True)],
        lambda kept: tuple([read(one) for read, one in zip(reads, kept, strict=True)]),
    )


def frozen_set(kind: Any) -> Form:
    """Return the form of a set: in order, so that one set has one form."""
    write, read = form_of(kind)
    return Form(
        lambda value: sorted(map(write, value)),
        lambda kept: frozenset(map(read, kept)),
    )


def mapping(key: Any, kind: Any) -> Form:
    """Return the form of a mapping: pairs, in its order."""
    write, read = form_of(tuple[key, kind])
    return Form(
        lambda value: [write(pair) for pair in value.items()],
        lambda kept: dict(map(read, kept)),
    )


def union(kinds: Sequence[Any]) -> Form:
    """Return the form of one of several types, with its place if JSON can't tell."""
    others = [kind for kind in kinds if kind is not NoneType]
    if all(form_of(kind) is AS_IT_IS for kind in others):
        return AS_IT_IS
    if len(others) == 1:
        write, read = form_of(others[0])
        return Form(
            lambda value: None if value is None else write(value),
            lambda kept: None if kept is None else read(kept),
        )
    forms = [form_of(kind) for kind in others]
    places = {get_origin(kind) or kind: at for at, kind in enumerate(others)}

    def write_one(value: Any) -> Any:
        if value is None and len(others) < len(kinds):
            return None
        if type(value) not in places:
            raise TypeError(f"{value!r} is none of {others}")
        at = places[type(value)]
        return [at, forms[at].write(value)]

    def read_one(kept: Any) -> Any:
        return None if kept is None else forms[kept[0]].read(kept[1])

    return Form(write_one, read_one)


class Fields:
    """The form of a class by its fields, found at first use: it may hold itself."""

    def __init__(self, kind: type) -> None:
        self.kind = kind
        self._forms: list[tuple[str, Form]] | None = None

    def form(self) -> Form:
        """Return the form."""
        return Form(self.write, self.read)

    @property
    def forms(self) -> list[tuple[str, Form]]:
        """The form of each field."""
        if self._forms is None:
            self._forms = [
                (name, form_of(kind)) for name, kind in types_of(self.kind).items()
            ]
        return self._forms

    def write(self, value: Any) -> Any:
        """Return the fields of a value."""
        if type(value) is not self.kind:
            raise TypeError(f"{value!r} is not a {self.kind.__name__}")
        return [form.write(getattr(value, name)) for name, form in self.forms]

    def read(self, kept: Any) -> Any:
        """Return the value."""
        pairs = zip(self.forms, kept, strict=True)
        return self.kind(*[form.read(one) for (_, form), one in pairs])


def types_of(kind: Any) -> dict[str, Any]:
    """Return the type of each field of a class, in order."""
    known = get_type_hints(kind, vars(sys.modules[kind.__module__]))
    named = (
        [field.name for field in fields(kind)]
        if is_dataclass(kind)
        else list(kind._fields)
    )
    for name in named:
        if isinstance(known[name], str | ForwardRef):
            raise TypeError(f"{kind.__name__}.{name}: its type is not known here")
    return {name: known[name] for name in named}
