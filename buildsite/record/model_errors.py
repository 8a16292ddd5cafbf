"""Texts of pydantic's errors, for a person at the bench."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from pydantic_core import ErrorDetails

from buildsite.record.flags import Field, field_label
from buildsite.record.messages import join_choices, nearest, quoted
from buildsite.record.reading import Model
from buildsite.record.shape import choices_at, expected_at, names_at

_MAPPING = ("a mapping of fields", "write its fields below it, indented")
_LIST = ("a list", "write each entry on its own line, after a dash")
_SHAPES = {
    "model_type": _MAPPING,
    "model_attributes_type": _MAPPING,
    "dict_type": _MAPPING,
    "list_type": _LIST,
    "tuple_type": _LIST,
    "string_type": ("a text", "write one text after the colon"),
}
_LIMITS = {
    "greater_than": ("gt", "more than"),
    "greater_than_equal": ("ge", "at least"),
    "less_than": ("lt", "less than"),
    "less_than_equal": ("le", "at most"),
}
_LENGTHS = {
    "too_short": ("min_length", "at least"),
    "too_long": ("max_length", "at most"),
}


class ErrorText(NamedTuple):
    """Text of an error. `by_name`: it is placed at the field's name, not its value."""

    flag: str
    found: str
    expected: str
    mend: str
    by_name: bool = False


_Writer = Callable[[ErrorDetails, Field, type[Model]], ErrorText]


def _missing(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    above = field_label(field[:-1])
    where = f" in {above}" if above else ""
    mend = f"write `{field[-1]}: …`{where}"
    expected = expected_at(model, error["loc"]) or f"{field[-1]}{where}"
    return ErrorText("missing-field", "nothing", expected, mend)


def _unknown(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    return unknown_name(str(field[-1]), names_at(model, error["loc"][:-1]))


def unknown_name(name: str, known: Sequence[str]) -> ErrorText:
    """Describe an unknown field, and suggest the nearest known one."""
    near = nearest(name, known)
    mend = f"write {near}, if you mean that" if near else "delete or correct this field"
    expected = "a known field" if near else join_choices(known)
    if name.isascii() and name.isdigit():  # 199,67 in braces: 199, and a field 67
        mend = f"write a decimal point, .{name}: a comma ends a value"
    return ErrorText("unknown-field", name, expected, mend, by_name=True)


def _choice(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    choices = choices_at(model, error["loc"])
    found = error["input"]
    near = nearest(found, choices) if isinstance(found, str) else ""
    mend = f"write {near}, if you mean that" if near else "write one of these"
    return ErrorText("not-a-choice", describe_value(found), join_choices(choices), mend)


def _shape(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    return ErrorText(
        "wrong-shape", describe_value(error["input"]), *_SHAPES[error["type"]]
    )


def _range(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    limit, words = _LIMITS[error["type"]]
    expected = f"{words} {error['ctx'][limit]}"
    mend = "check the sign and the decimal point"
    return ErrorText("out-of-range", str(error["input"]), expected, mend)


def _length(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    limit, words = _LENGTHS[error["type"]]
    found = f"{error['ctx']['actual_length']} in the list"
    expected = f"{words} {error['ctx'][limit]}"
    mend = "add the missing entries, or delete the extra ones"
    return ErrorText("wrong-length", found, expected, mend)


def _scalar(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    context = error["ctx"]
    found = describe_value(error["input"])
    return ErrorText(error["type"], found, context["expected"], context["mend"])


def _other(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    mend = error["msg"].removeprefix("Value error, ")
    expected = "a value valid for this kind of record"
    return ErrorText("wrong-value", describe_value(error["input"]), expected, mend)


_WRITERS: dict[str, _Writer] = {
    "missing": _missing,
    "extra_forbidden": _unknown,
    "literal_error": _choice,
    "enum": _choice,
    **dict.fromkeys(_SHAPES, _shape),
    **dict.fromkeys(_LIMITS, _range),
    **dict.fromkeys(_LENGTHS, _length),
}


def describe_error(error: ErrorDetails, field: Field, model: type[Model]) -> ErrorText:
    """Return the text of one of `ValidationError.errors()`."""
    kind = error["type"]
    if kind in _WRITERS:
        return _WRITERS[kind](error, field, model)
    writer = _scalar if kind.startswith("not-") else _other
    return writer(error, field, model)


def describe_value(value: object) -> str:
    """
    Return a text in quotes, or the name of what was found in its place.

    >>> describe_value("1e3"), describe_value(None), describe_value(["1"])
    ("'1e3'", 'nothing', 'a list')
    """
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list | tuple):
        return "a list"
    return quoted(str(value))
