"""Scalars: what a person means is taken, what only a machine would take is refused."""

from datetime import date, datetime
from decimal import Decimal
from functools import cached_property
from typing import Annotated, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft7Validator, Draft202012Validator
from pydantic import Tag, TypeAdapter, ValidationError

from buildsite.record.forms import OneOrMore, form_by_key
from buildsite.record.reading import (
    Address,
    Code,
    Count,
    Day,
    Digest,
    Id,
    Mass,
    Model,
    Moment,
    Percent,
    Portion,
    Positive,
    Reading,
    Remarks,
    TaredMass,
    Text,
    YesNo,
    resolution,
)

GOOD = [
    (Reading, "13.10", Decimal("13.10")),
    (Reading, "-0.5", Decimal("-0.5")),
    (Reading, "010", Decimal("10")),
    (Mass, "4.41", Decimal("4.41")),
    (TaredMass, "0", Decimal(0)),
    (Percent, "231.4", Decimal("231.4")),
    (Portion, "100", Decimal(100)),
    (Count, "25", 25),
    (Day, "2024-02-29", date(2024, 2, 29)),
    (Moment, "2026-03-11T15:20", datetime(2026, 3, 11, 15, 20)),  # noqa: DTZ001 - the bench clock has no zone
    (YesNo, "yes", True),
    (YesNo, "no", False),
    (Text, "21", "21"),
    (Remarks, "", ""),
    (Code, "T07", "T07"),
    (Id, "HF-0117", "HF-0117"),
    (Id, "0117", "0117"),
    (Id, "a" * 64, "a" * 64),
    (Id, "HF.red", "HF.red"),
    (Id, "HF-0117.r0a", "HF-0117.r0a"),
    (Digest, "0" * 63 + "f", "0" * 63 + "f"),
    *[
        (Address, text, text)
        for text in (
            "https://soils.example",
            "https://soils.example/",
            "http://10.0.0.7:8080/lab",
            "https://a-b.soils.example/reports/2026/~lab/",
        )
    ],
]

BAD = [
    *[
        (Reading, text, "not-a-reading")
        for text in (
            "1e3", "1_000", "NaN", "inf", ".5", "5.", "+1", "1,5", "1:30", "0x1f",
            "12.4 %", "", " 1", "1\n", "--1", "1.2.3", "٣", "9" * 13,
        )
    ],
    (Mass, "0", "greater_than"),
    (Mass, "-1.2", "greater_than"),
    (TaredMass, "-0.01", "greater_than_equal"),
    (Portion, "100.1", "less_than_equal"),
    *[(Count, text, "not-a-count") for text in ("2.0", "-1", "1_0", "", "²")],
    *[
        (Day, text, "not-a-date")
        for text in (
            "2026-02-29", "20260310", "2026-W10-1", "10/03/2026", "2026-3-1",
            "2026-03-10T00:00", "0000-01-01",
        )
    ],
    *[
        (Moment, text, "not-a-date")
        for text in (
            "2026-03-11", "2026-03-11 15:20", "2026-03-11T24:00",
            "2026-03-11T15:20:30", "2026-03-11T15:20Z",
        )
    ],
    *[
        (YesNo, text, "not-a-choice")
        for text in ("true", "Yes", "NO", "on", "y", "1", "")
    ],
    *[(Text, text, "not-text") for text in ("", "  ")],
    *[(Code, text, "not-a-code") for text in ("", "T 07", "T07\n", "-T07")],
    *[
        (Id, text, "not-an-id")
        for text in (
            "", "-HF", ".HF", "HF/1", "HF 1", "HF-0117.issued", "HF-0117.ISSUED",
            "HF-0117.r0", "HF-0117.R12", "a" * 65, "é", "HF\n", "..", "index.html",
        )
    ],
    *[(Digest, text, "not-a-digest") for text in ("F" * 64, "0" * 63, "g" * 64)],
    *[
        (Address, text, "not-an-address")
        for text in (
            "", "soils.example", "ftp://soils.example/", "javascript:alert(1)",
            "https://", "https:///tests/", "https://a@soils.example/", "https://a:b@c/",
            "https://soils.example/?q=1", "https://soils.example/#top", "https://a b/",
            "https://soils.example/a b", "https://soils.example/\"x", "https://é.example/",
            "https://soils.example//", "https://soils..example/", "https://soils.example\n",
            "//soils.example/", "https://soils.example/%2e%2e/", "HTTPS://soils.example/",
        )
    ],
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "value"), GOOD)
def test_what_a_person_means_is_taken(kind: Any, text: str, value: object) -> None:
    read = TypeAdapter(kind).validate_python(text)

    assert read == value
    assert str(read) == str(value)  # 13.10 keeps its last place


@pytest.mark.parametrize(("kind", "text", "flag"), BAD)
def test_what_no_person_means_is_refused(kind: Any, text: str, flag: str) -> None:
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(kind).validate_python(text)

    (error,) = caught.value.errors()
    assert error["type"] == flag
    if flag.startswith("not-"):
        assert error["ctx"]["expected"]
        assert error["msg"] == error["ctx"]["mend"]


@pytest.mark.parametrize("kind", [Reading, Mass, Count, Day, Moment, YesNo, Text, Id])
@pytest.mark.parametrize("value", [[], {}, ["1"], {"a": "1"}])
def test_a_list_or_a_mapping_is_no_scalar(kind: Any, value: object) -> None:
    with pytest.raises(ValidationError):
        TypeAdapter(kind).validate_python(value)


@given(st.decimals(allow_nan=False, allow_infinity=False, places=3).filter(
    lambda value: abs(value) < Decimal(10) ** 12))  # fmt: skip
def test_a_reading_comes_back_as_it_was_written(value: Decimal) -> None:
    text = f"{value:f}"

    assert f"{TypeAdapter(Reading).validate_python(text):f}" == text


def test_values_already_typed_pass_so_that_a_model_can_be_read_back() -> None:
    class Weighing(Model):
        mass: Mass
        on: Day
        at: Moment
        layers: Count
        dried: YesNo

    first = Weighing.model_validate(
        {
            "mass": "13.10",
            "on": "2026-03-11",
            "at": "2026-03-11T15:20",
            "layers": "5",
            "dried": "no",
        }
    )

    assert Weighing.model_validate(first.model_dump()) == first


# An editor's YAML reader (core schema of YAML 1.2, section 10.3.2, or the types of
# YAML 1.1) hands these values to the schema for the text on the left.
SEEN_BY_EDITORS = [
    (Reading, 13.1, True),
    (Reading, "13.10", True),
    (Reading, "1e3", False),
    (Mass, 0, False),
    (Mass, 4.41, True),
    (TaredMass, 0, True),
    (Portion, 100.1, False),
    (Count, 25, True),
    (Count, 2.5, False),
    (Day, "2026-03-10", True),
    (Day, "10/03/2026", False),
    (Moment, "2026-03-11T15:20", True),
    (YesNo, "yes", True),
    (YesNo, True, True),
    (YesNo, "true", False),
    (Text, 21, True),
    (Text, "21", True),
    (Text, " ", False),
    (Id, 117, True),
    (Id, "HF-0117.issued", False),
    (Id, "HF-0117", True),
    (Code, "T07", True),
    (Digest, "0" * 64, True),
    (Digest, "0" * 63, False),
    (OneOrMore[Mass], 4.41, True),
    (OneOrMore[Mass], [4.41, "4.40"], True),
    (OneOrMore[Mass], ["x"], False),
]


@pytest.mark.parametrize(("kind", "value", "good"), SEEN_BY_EDITORS)
def test_the_schema_takes_what_an_editor_makes_of_it(
    kind: Any, value: object, good: bool
) -> None:
    schema = TypeAdapter(kind).json_schema()

    for validator in (Draft7Validator, Draft202012Validator):
        validator.check_schema(schema)
        assert validator(schema).is_valid(value) is good


def test_one_may_stand_for_a_list_of_one() -> None:
    masses: TypeAdapter[tuple[Decimal, ...]] = TypeAdapter(OneOrMore[Mass])

    assert masses.validate_python("4.41") == (Decimal("4.41"),)
    assert masses.validate_python(["4.41", "4.40"]) == (
        Decimal("4.41"),
        Decimal("4.40"),
    )


class Value(Model):
    value: Positive


class Reference(Model):
    test: Id


Gravity = Annotated[
    Annotated[Value, Tag("(value)")] | Annotated[Reference, Tag("(test)")],
    form_by_key("(value)", test="(test)"),
]


@pytest.mark.parametrize(
    ("written", "where"),
    [
        ({"value": "x"}, [("(value)", "value")]),
        ({"test": "a b"}, [("(test)", "test")]),
        ({"test": None}, [("(value)", "value"), ("(value)", "test")]),
        ({}, [("(value)", "value")]),
        ("x", [("(value)",)]),
    ],
)
def test_only_the_form_that_was_meant_is_judged(
    written: object, where: list[tuple[str, ...]]
) -> None:
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(Gravity).validate_python(written)

    assert [error["loc"] for error in caught.value.errors()] == where


def test_a_form_is_known_again_when_it_is_already_read() -> None:
    read: TypeAdapter[Value | Reference] = TypeAdapter(Gravity)

    assert read.validate_python(Reference(test="HF-0109")) == Reference(test="HF-0109")
    assert read.validate_python(Value(value=Decimal("2.69"))).value == Decimal("2.69")  # type: ignore[union-attr]  # it is a Value


@pytest.mark.parametrize(
    ("readings", "place"),
    [
        ("13.10", "0.01"),
        ("13", "1"),
        ("1300", "1"),
        ("-0.5", "0.1"),
        ("0.000", "0.001"),
    ],
)
def test_resolution_is_the_last_place_written(readings: str, place: str) -> None:
    assert str(resolution(Decimal(readings))) == place


def test_a_column_has_the_resolution_of_its_finest_reading() -> None:
    column = [Decimal("31.4"), Decimal("134.92"), Decimal("127")]

    assert str(resolution(column)) == "0.01"


def test_a_column_without_readings_has_none() -> None:
    with pytest.raises(ValueError, match="no resolution"):
        resolution([])


class Weighed(Model):
    masses: tuple[Decimal, ...] = ()

    @cached_property
    def total(self) -> Decimal:
        return sum(self.masses, Decimal(0))


def test_a_copy_with_other_values_keeps_nothing_derived_of_the_old_ones() -> None:
    old = Weighed(masses=(Decimal(2), Decimal(3)))
    assert old.total == 5

    new = old.model_copy(update={"masses": (Decimal(7),)})

    assert (new.total, old.total) == (Decimal(7), Decimal(5))
