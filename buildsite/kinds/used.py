"""The digest `used`: what was handed to the computation and the report."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any

from buildsite.kinds.kind import Inputs
from buildsite.kinds.used_form import covers, current_form
from buildsite.record.canonical import canonical as written
from buildsite.record.canonical import digest, text_of
from buildsite.record.source import Source
from buildsite.record.typed import without_blanks
from buildsite.soil.rounding import snap

NOT_USED = ("format",)
"""Fields of a record used neither in the computation nor in a result."""


def plain(value: Any, form: int | None = None) -> Any:
    """
    Return a value as JSON has it, in one way only.

    Readings and dates become text as written; floats are rounded to ten digits. `form`:
    without the fields of an answer that this form of `used` does not cover.
    """
    kind: Any = type(value)
    if kind in AS_IT_IS:
        return value
    if kind is float:
        return snap(value)
    if kind is dict:
        return {str(key): plain(item, form) for key, item in value.items()}
    if kind is list or kind is tuple:
        return [plain(item, form) for item in value]
    if kind is Decimal:
        return str(value)
    names = field_names(kind, form)
    if names is not None:
        return {name: plain(getattr(value, name), form) for name in names}
    return of_another_type(value, form)


AS_IT_IS = frozenset({type(None), str, int, bool})


def of_another_type(value: Any, form: int | None) -> Any:
    """Return a value of a type that is derived from a plain one."""
    if isinstance(value, Mapping):
        return {str(key): plain(item, form) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item, form) for item in value]
    if isinstance(value, date | datetime):
        return str(value)
    return snap(value) if isinstance(value, float) else value


@cache
def field_names(kind: type, form: int | None) -> tuple[str, ...] | None:
    """Return the fields of an answer that a form covers; None of other values."""
    if not is_dataclass(kind) or issubclass(kind, str):
        return None
    covered = (one for one in fields(kind) if form is None or covers(form, one))
    return tuple(one.name for one in covered)


def canonical(value: Any) -> bytes:
    """
    Return a value as canonical JSON: UTF-8, keys sorted, no white space.

    >>> canonical({"b": 1.0, "a": [Decimal("13.10"), None]})
    b'{"a":["13.10",null],"b":1.0}'
    """
    return written(plain(value))


def drop_blanks(value: Any) -> Any:
    """
    Drop empty values: None, empty texts, lists and mappings, at any depth.

    So a field added to an answer by a later version of the program changes the digest
    only of records that have it.

    >>> drop_blanks({"a": None, "b": {"c": ""}, "d": [1, None], "e": False})
    {'d': [1, None], 'e': False}
    """
    if isinstance(value, dict):
        kept = [(key, drop_blanks(item)) for key, item in value.items()]
        return {key: item for key, item in kept if item or item not in EMPTY}
    return [drop_blanks(item) for item in value] if isinstance(value, list) else value


EMPTY: tuple[Any, ...] = (None, "", [], {})


def used_digest(source: Source, inputs: Inputs, form: int | None = None) -> str:
    """
    Return the digest of the values used by the computation and the report.

    Canonical form: `canonical` of ``{"answers": {question: answer}, "record": tree}``,
    the tree as written without blanks (as the reader leaves them out), comments, order
    and `NOT_USED`; a question is its three parts joined by a blank, an answer is
    without empty values (`drop_blanks`) and what its form does not cover
    (`used_form`); the form is that of new items unless given.
    """
    form = form or current_form()
    answers = {
        " ".join(key): text
        for key, answer in inputs.answers.items()
        if covers(form, type(answer)) and (text := _answer_text(Itself(answer), form))
    }
    record = text_of(used_tree(source))
    told = ",".join([f"{text_of(key)}:{answers[key]}" for key in sorted(answers)])
    return digest(f'{{"answers":{{{told}}},"record":{record}}}'.encode())


def used_tree(source: Source) -> dict[str, Any]:
    """Return what is used of a record: its tree without blanks and `NOT_USED`."""
    tree = {key: node for key, node in source.tree.items() if key not in NOT_USED}
    return without_blanks(tree) if source.blanks else tree


class Itself:
    """A value as a key: of two that are equal each may be written its own way."""

    __slots__ = ("value",)

    def __init__(self, value: Any) -> None:
        self.value = value

    def __eq__(self, other: object) -> bool:
        """Whether it is the same object."""
        return isinstance(other, Itself) and self.value is other.value

    def __hash__(self) -> int:
        """Return a number of the object."""
        return id(self.value)


@lru_cache(4096)
def _answer_text(answer: Itself, form: int) -> str:
    """Return an answer as `used` covers it, written once for all who were given it."""
    value = drop_blanks(plain(answer.value, form))
    return "" if value in EMPTY else text_of(value)
