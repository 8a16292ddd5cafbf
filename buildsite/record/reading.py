"""
Types of a record's scalars: a reading, a mass, a date, yes or no.

Every scalar comes as the text that was written; these types refuse what a person would
not mean. Each has a JSON Schema for editors, whose YAML readers type scalars by the
rules of YAML 1.1 or 1.2: hence ``number`` beside ``string``. Only keywords of draft-07
are used.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Any, Self

from pydantic import BaseModel, ConfigDict
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from buildsite.record.letters import ID

# No balance shows more than twelve digits on either side; without a limit a hostile
# record could write infinity in digits.
PLAIN = re.compile(r"-?[0-9]{1,12}(\.[0-9]{1,12})?")
COUNT = re.compile(r"[0-9]{1,9}")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}")
CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,31}")
DIGEST = re.compile(r"[0-9a-f]{64}")
ADDRESS = re.compile(
    r"https?://[a-z0-9]+([.-][a-z0-9]+)*(:[0-9]{1,5})?(/[A-Za-z0-9_~.-]+)*/?"
)
"""Where a site is published: no name and password, no query, nothing to be escaped."""
OWN_PAGE = re.compile(rf"(?!index\.html$){ID.pattern}")
"""An id whose folder on the site does not take the place of the list of its kind."""
Reader = Callable[[object], object]


class Model(BaseModel):
    """
    A part of a record: unknown keys are refused, nothing changes afterwards.

    Pydantic's schema is built when first needed, with that of the whole record. A part
    shared by several kinds has ``defer_build=False``: it is built once, for all.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    def model_copy(
        self, *, update: Mapping[str, Any] | None = None, deep: bool = False
    ) -> Self:
        """Return a copy with other values; what was derived of the old ones is not."""
        made = super().model_copy(update=update, deep=deep)
        for name in made.__dict__.keys() - type(self).model_fields.keys():
            del made.__dict__[name]
        return made


def misread(flag: str, expected: str, mend: str) -> PydanticCustomError:
    """Return the error of a scalar: its flag, what is required, what to do."""
    return PydanticCustomError(flag, "{mend}", {"expected": expected, "mend": mend})


def plain(text: object) -> Decimal:
    """
    Return a number; refuse what `Decimal` accepts and a person would not: 1e3, NaN.

    >>> plain("13.10")
    Decimal('13.10')
    """
    if isinstance(text, Decimal) and text.is_finite():
        return text
    if not isinstance(text, str) or not PLAIN.fullmatch(text):
        raise misread(
            "not-a-reading",
            "a number",
            "write the digits as read, with a decimal point and no comma: 13.10",
        )
    return Decimal(text)


def count(text: object) -> int:
    """
    Return a whole number: blows, layers, a revision's number.

    >>> count("25")
    25
    """
    if isinstance(text, int) and not isinstance(text, bool) and text >= 0:
        return text
    if not isinstance(text, str) or not COUNT.fullmatch(text):
        raise misread("not-a-count", "a whole number", "write digits only, such as 25")
    return int(text)


def day(text: object) -> date:
    """
    Return a date, written YYYY-MM-DD and in no other way.

    >>> day("2026-03-10")
    datetime.date(2026, 3, 10)
    """
    if type(text) is date:
        return text
    if isinstance(text, str) and DAY.fullmatch(text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            mend = "check month and day: the calendar has no such date"
    else:
        mend = "write year, month and day, such as 2026-03-10"
    raise misread("not-a-date", "a date as YYYY-MM-DD", mend)


def moment(text: object) -> datetime:
    """
    Return a time on the laboratory's clock, written YYYY-MM-DDTHH:MM.

    >>> moment("2026-03-11T15:20")
    datetime.datetime(2026, 3, 11, 15, 20)
    """
    if isinstance(text, datetime):
        return text
    if isinstance(text, str) and MOMENT.fullmatch(text):
        try:
            return datetime.fromisoformat(text)
        except ValueError:
            mend = "check day, hour and minute: there is no such time"
    else:
        mend = "write date and time, such as 2026-03-11T15:20"
    raise misread("not-a-date", "a time as YYYY-MM-DDTHH:MM", mend)


def yes_or_no(text: object) -> bool:
    """
    Return the truth, written yes or no.

    >>> yes_or_no("no")
    False
    """
    if isinstance(text, bool):
        return text
    if text not in ("yes", "no"):
        raise misread("not-a-choice", "yes or no", "write yes or no, in lower case")
    return text == "yes"


def words(text: object) -> str:
    """Return text that is not blank."""
    if not isinstance(text, str) or not text.strip():
        raise misread("not-text", "some text", "enter the text, or delete the line")
    return text


def remarks(text: object) -> str:
    """Return text that may be blank."""
    if not isinstance(text, str):
        raise misread("not-text", "text", "write one text, in quotes")
    return text


def _shaped(flag: str, pattern: re.Pattern[str], expected: str, mend: str) -> Reader:
    """Return the reader of a text of one pattern."""

    def shaped(text: object) -> str:
        if not isinstance(text, str) or not pattern.fullmatch(text):
            raise misread(flag, expected, mend)
        return text

    return shaped


class Scalar:
    """
    How pydantic reads a scalar.

    `read` parses its text, `schema` has its type and limits, `shown` is the JSON Schema
    for editors. With `BeforeValidator` and `Field`, pydantic would build the same
    schema for each of hundreds of fields whenever the program starts.
    """

    def __init__(self, read: Reader, schema: CoreSchema, shown: dict[str, Any]) -> None:
        self.core = core_schema.no_info_before_validator_function(read, schema)
        self.shown = shown

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        """Return the schema, built once."""
        return self.core

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        """Return the JSON Schema for editors."""
        return dict(self.shown)


def _written(types: list[str], pattern: str, **more: Any) -> dict[str, Any]:
    """Return the JSON Schema of a scalar that editors see as text or already typed."""
    return {"type": types, "pattern": f"^{pattern}$", **more}


def _number(pattern: str, shown: dict[str, Any], **limits: Any) -> Scalar:
    """Return a number within limits."""
    schema = core_schema.decimal_schema(**limits)
    return Scalar(plain, schema, _written(_NUMBER, pattern, **shown))


def _text(read: Reader, pattern: str) -> Scalar:
    """Return a text of a pattern."""
    return Scalar(read, core_schema.str_schema(), _written(_TEXT, pattern))


_UNSIGNED = PLAIN.pattern.removeprefix("-?")
_NUMBER = ["number", "string"]
_TEXT = ["string", "number"]

Reading = Annotated[Decimal, _number(PLAIN.pattern, {})]
"""A number as read, of any sign, with its decimal places."""

Positive = Annotated[Decimal, _number(_UNSIGNED, {"exclusiveMinimum": 0}, gt=0)]
"""A number as read, above zero: a volume, a density, a specific gravity, a length."""

Mass = Positive
"""A mass as weighed."""

ZeroOrMore = Annotated[Decimal, _number(_UNSIGNED, {"minimum": 0}, ge=0)]
"""A number as read that may be zero: a tared container, water not yet added."""

TaredMass = ZeroOrMore
"""A container's mass: zero if the balance was tared with the container on it."""

Percent = ZeroOrMore
"""Percent without an upper limit: water content, percent compaction."""

Portion = Annotated[
    Decimal, _number(_UNSIGNED, {"minimum": 0, "maximum": 100}, ge=0, le=100)
]
"""Percent of a whole: percent retained, required degree of saturation."""

Count = Annotated[
    int,
    Scalar(
        count,
        core_schema.int_schema(),
        _written(["integer", "string"], COUNT.pattern, minimum=0),
    ),
]
"""A whole number from zero up."""

Day = Annotated[
    date, Scalar(day, core_schema.date_schema(), _written(["string"], DAY.pattern))
]
"""A date, YYYY-MM-DD."""

Moment = Annotated[
    datetime,
    Scalar(moment, core_schema.datetime_schema(), _written(["string"], MOMENT.pattern)),
]
"""A time on the laboratory's clock, YYYY-MM-DDTHH:MM."""

YesNo = Annotated[
    bool,
    Scalar(yes_or_no, core_schema.bool_schema(), {"enum": ["yes", "no", True, False]}),
]
"""yes or no."""

Text = Annotated[str, _text(words, r"[\s\S]*\S[\s\S]*")]
"""Text that is not blank."""

Remarks = Annotated[str, Scalar(remarks, core_schema.str_schema(), {"type": _TEXT})]
"""Text that may be blank."""

Code = Annotated[
    str,
    _text(
        _shaped("not-a-code", CODE, "a staff code", "write the code, such as T07"),
        CODE.pattern,
    ),
]
"""A staff code."""

Id = Annotated[
    str,
    _text(
        _shaped(
            "not-an-id",
            OWN_PAGE,
            "an id: letters, digits, . - _, at most 64, "
            "letter or digit first, not ending in .issued or .r and a number, "
            "not index.html",
            "write an id such as HF-0117",
        ),
        ID.pattern,
    ),
]
"""A record's id, which is its file's name."""

Digest = Annotated[
    str,
    _text(
        _shaped(
            "not-a-digest",
            DIGEST,
            "a SHA-256: 64 digits and letters a to f",
            "copy the whole digest again, in lower case",
        ),
        DIGEST.pattern,
    ),
]
"""A SHA-256 in lower-case hexadecimal digits."""


def resolution(reading: Decimal | Iterable[Decimal]) -> Decimal:
    """
    Return the last decimal place of a reading, or the finest in a column.

    Spreadsheets drop trailing zeros, so the finest reading of a column counts.

    >>> resolution(Decimal("13.10"))
    Decimal('0.01')
    >>> resolution([Decimal("13"), Decimal("13.1")])
    Decimal('0.1')

    Raises
    ------
    ValueError
        If the column holds no reading.
    """
    column = [reading] if isinstance(reading, Decimal) else list(reading)
    if not column:
        raise ValueError("a column without readings has no resolution")
    places = [int(one.as_tuple().exponent) for one in column]
    return Decimal(1).scaleb(min(0, *places))


Address = Annotated[
    str,
    _text(
        _shaped(
            "not-an-address",
            ADDRESS,
            "the address of a site, with https:// and no blanks",
            "write it as people open it, such as https://soils.example/reports/",
        ),
        ADDRESS.pattern,
    ),
]
"""The address of a site."""
