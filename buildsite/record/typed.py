"""
Tree of text → model of its kind; what pydantic refuses becomes flags.

Pydantic says what a program wants to know. Here its errors are said again for the
person at the bench, at the line and column of the field, each fault once.
"""

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from buildsite.record.faults import Faults, StopReading
from buildsite.record.flags import Field, Flag, spell
from buildsite.record.reading import Model
from buildsite.record.shape import choices_at, names_at
from buildsite.record.source import Source
from buildsite.record.words import listed, nearest, quoted

M = TypeVar("M", bound=Model)

_HIDDEN_VALUE = {"alias", "not-a-number"}

_MAPPING = ("a mapping of fields", "write its fields below it, indented")
_LIST = ("a list", "begin each entry with a dash, on a line of its own")
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


class _Said(NamedTuple):
    """An error in a person's words; `by_name` places it at the field's name."""

    flag: str
    found: str
    expected: str
    mend: str
    by_name: bool = False


def read_model(source: Source, model: type[M]) -> tuple[M | None, list[Flag]]:
    """
    Read a record of a known kind.

    Parameters
    ----------
    source
        The file; its own faults are among the flags returned.
    model
        What the kind's records look like.

    Returns
    -------
    model or None
        None where anything is wrong.
    list of Flag
        Every fault of the file and of its fields, by line.
    """
    if not source.whole:
        return None, list(source.faults)
    try:
        record = model.model_validate(
            present(source.tree) if source.blanks else source.tree
        )
    except ValidationError as error:
        seen = from_pydantic(error.errors(include_url=False), source, model)
        both = [*source.faults, *seen]
        return None, sorted(both, key=lambda flag: flag.order)
    return (None if source.faults else record), list(source.faults)


def present(tree: dict[str, Any]) -> dict[str, Any]:
    """
    Leave out what is blank, and a mapping in which everything is.

    >>> present({"id": "HF-0117", "reviewed": {"on": None, "by": None}})
    {'id': 'HF-0117'}
    """
    kept = {}
    for name, value in tree.items():
        left = _present(value)
        if left is None or (left == {} and value != {}):
            continue
        kept[name] = left
    return kept


def _present(value: Any) -> Any:
    if isinstance(value, dict):
        return present(value)
    if isinstance(value, list):  # an entry keeps its number, even if it is blank
        return [_present(entry) for entry in value]
    return value


def from_pydantic(
    errors: Sequence[ErrorDetails], source: Source, model: type[Model]
) -> list[Flag]:
    """
    Say pydantic's errors again as flags, by line.

    Parameters
    ----------
    errors
        As `ValidationError.errors()` gives them.
    source
        The file, for places.
    model
        What was validated, for the names and choices it knows.
    """
    faults = Faults(source.file)
    seen: set[tuple[str, Field]] = set()
    try:
        for error in errors:
            field = _field(error, source)
            if not _already_told(error, field, source) and (
                (error["type"], field) not in seen
            ):
                seen.add((error["type"], field))
                said = _sayer(error)(error, field, model)
                where = source.key_place if said.by_name else source.place
                faults.add(
                    said.flag,
                    where(field),
                    said.found,
                    field,
                    expected=said.expected,
                    mend=said.mend,
                )
    except StopReading:
        pass  # the hundredth fault says so itself
    return list(faults.sorted())


def _field(error: ErrorDetails, source: Source) -> Field:
    """
    Give the way to the value, without what pydantic puts in between.

    Its `loc` also names the form of a union that was tried, and the key of a mapping.
    A part that is no key of the tree is not ours, unless it is the field that is
    missing.
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


def _already_told(error: ErrorDetails, field: Field, source: Source) -> bool:
    """See whether the reader refused what would be here."""
    for fault in source.faults:
        if fault.flag in _HIDDEN_VALUE and field[: len(fault.field)] == fault.field:
            return True
        if fault.flag == "merge-key" and error["type"] == "missing":
            return fault.field == field[:-1]
    return False


_Sayer = Callable[[ErrorDetails, Field, type[Model]], _Said]


def _sayer(error: ErrorDetails) -> _Sayer:
    """Choose how an error is said."""
    kind = error["type"]
    if kind in _SAID:
        return _SAID[kind]
    return _scalar if kind.startswith("not-") else _other


def _missing(error: ErrorDetails, field: Field, model: type[Model]) -> _Said:
    above = spell(field[:-1])
    where = f" in {above}" if above else ""
    mend = f"write `{field[-1]}: …`{where}"
    return _Said("missing-field", "nothing", f"{field[-1]}{where}", mend)


def _unknown(error: ErrorDetails, field: Field, model: type[Model]) -> _Said:
    known = names_at(model, error["loc"][:-1])
    near = nearest(str(field[-1]), known)
    mend = f"perhaps {near}" if near else f"known here: {', '.join(known)}"
    expected = "a field that is known here"
    return _Said("unknown-field", str(field[-1]), expected, mend, by_name=True)


def _choice(error: ErrorDetails, field: Field, model: type[Model]) -> _Said:
    choices = choices_at(model, error["loc"])
    found = error["input"]
    near = nearest(found, choices) if isinstance(found, str) else ""
    mend = f"perhaps {near}" if near else "write one of these"
    return _Said("not-a-choice", shown(found), listed(choices), mend)


def _shape(error: ErrorDetails, field: Field, model: type[Model]) -> _Said:
    return _Said("wrong-shape", shown(error["input"]), *_SHAPES[error["type"]])


def _range(error: ErrorDetails, field: Field, model: type[Model]) -> _Said:
    limit, words = _LIMITS[error["type"]]
    expected = f"{words} {error['ctx'][limit]}"
    mend = "look for a sign or a decimal point that went astray"
    return _Said("out-of-range", str(error["input"]), expected, mend)


def _length(error: ErrorDetails, field: Field, model: type[Model]) -> _Said:
    limit, words = _LENGTHS[error["type"]]
    found = f"{error['ctx']['actual_length']} in the list"
    expected = f"{words} {error['ctx'][limit]}"
    mend = "write those that are missing, or delete those too many"
    return _Said("wrong-length", found, expected, mend)


def _scalar(error: ErrorDetails, field: Field, model: type[Model]) -> _Said:
    context = error["ctx"]
    found = shown(error["input"])
    return _Said(error["type"], found, context["expected"], context["mend"])


def _other(error: ErrorDetails, field: Field, model: type[Model]) -> _Said:
    mend = error["msg"].removeprefix("Value error, ")
    expected = "a value that its kind allows"
    return _Said("wrong-value", shown(error["input"]), expected, mend)


_SAID: dict[str, _Sayer] = {
    "missing": _missing,
    "extra_forbidden": _unknown,
    "literal_error": _choice,
    "enum": _choice,
    **dict.fromkeys(_SHAPES, _shape),
    **dict.fromkeys(_LIMITS, _range),
    **dict.fromkeys(_LENGTHS, _length),
}


def shown(value: object) -> str:
    """
    Show what was found: a text between quotes, else what it is.

    >>> shown("1e3"), shown(None), shown(["1"])
    ("'1e3'", 'nothing', 'a list')
    """
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list | tuple):
        return "a list"
    return quoted(str(value))
