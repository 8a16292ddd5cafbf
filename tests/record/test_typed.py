"""What a model refuses, said once, at its place, in words for the bench."""

from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Literal

import pytest
from pydantic import Field, Tag, field_validator

from buildsite.record.flags import Severity, field_label, field_path
from buildsite.record.forms import OneOrMore, form_by_key
from buildsite.record.messages import join_choices, nearest
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
    Portion,
    Positive,
    Reading,
    TaredMass,
    Text,
    YesNo,
)
from buildsite.record.source import read_source
from buildsite.record.typed import read_model, without_blanks


class Face(StrEnum):
    ROUND = "round"
    SECTOR = "sector"


class Value(Model):
    value: Positive
    basis: Literal["measured", "assumed"]


class Reference(Model):
    test: Id


Gravity = Annotated[
    Annotated[Value, Tag("(value)")] | Annotated[Reference, Tag("(test)")],
    form_by_key("(value)", test="(test)"),
]


class Act(Model):
    on: Day
    by: Code | None = None


class Point(Model):
    mold_and_wet_soil: Mass | None = None
    container_mass: TaredMass | None = None
    container_and_dry: OneOrMore[Mass] | None = None


class Oven(Model):
    in_: Moment | None = Field(default=None, alias="in")
    temperature_c: Reading | None = None


class Bench(Model):
    """A small record with every sort of field."""

    id: Id
    status: Literal["in-progress", "complete", "withdrawn"] = "complete"
    face: Face | None = None
    layers: Count | None = None
    compacted: Act | None = None
    reviewed: Act | None = None
    oven: Oven | None = None
    gravity: Gravity | None = None
    retained: Portion | None = None
    dried: YesNo | None = None
    remarks: Text | None = None
    sha256: Digest | None = None
    site: Address | None = None
    staff: dict[str, Act] | None = None
    steps: Annotated[tuple[Reading, ...], Field(min_length=2, max_length=3)] | None = (
        None
    )
    points: tuple[Point, ...] = ()

    @field_validator("layers")
    @classmethod
    def _few(cls, layers: int) -> int:
        if layers > 9:
            raise ValueError("no method has so many layers")
        return layers


ID = "id: HF-1\n"

# What is written after the id; flag, line, column, field, found, expected, mend.
REFUSED = [
    ("compacted: {by: T07}\n",
     ("missing-field", 2, 12, "compacted.on", "nothing", "a date as YYYY-MM-DD",
      "write `on: …` in compacted")),
    ("compacted: {on: , by: T07}\n",
     ("missing-field", 2, 13, "compacted.on", "nothing", "a date as YYYY-MM-DD",
      "write `on: …` in compacted")),
    ("compacted:\n  by: T07\n",
     ("missing-field", 3, 3, "compacted.on", "nothing", "a date as YYYY-MM-DD",
      "write `on: …` in compacted")),
    ("points:\n  - {container_mas: 1}\n",
     ("unknown-field", 3, 6, "points[0].container_mas", "container_mas",
      "a known field", "write container_mass, if you mean that")),
    ("Layers: 5\n",
     ("unknown-field", 2, 1, "Layers", "Layers", "a known field",
      "write layers, if you mean that")),
    ("compacted: {on: 2026-03-10, colour: red}\n",
     ("unknown-field", 2, 29, "compacted.colour", "colour",
      "on or by", "delete or correct this field")),
    ("oven: {temperature_c: 110,5}\n",
     ("unknown-field", 2, 27, "oven.5", "5", "in or temperature_c",
      "write a decimal point, .5: a comma ends a value")),
    ("oven: {in_: 2026-03-10T10:00}\n",
     ("unknown-field", 2, 8, "oven.in_", "in_", "a known field",
      "write in, if you mean that")),
    ("oven: {in: 2026-03-10}\n",
     ("not-a-date", 2, 12, "oven.in", "'2026-03-10'", "a time as YYYY-MM-DDTHH:MM",
      "write date and time, such as 2026-03-11T15:20")),
    ("status: completed\n",
     ("not-a-choice", 2, 9, "status", "'completed'",
      "in-progress, complete or withdrawn", "write complete, if you mean that")),
    ("status: Withdrawn\n",
     ("not-a-choice", 2, 9, "status", "'Withdrawn'",
      "in-progress, complete or withdrawn", "write withdrawn, if you mean that")),
    ("status: 7\n",
     ("not-a-choice", 2, 9, "status", "'7'",
      "in-progress, complete or withdrawn", "write one of these")),
    ("face: sektor\n",
     ("not-a-choice", 2, 7, "face", "'sektor'", "round or sector",
      "write sector, if you mean that")),
    ("dried: true\n",
     ("not-a-choice", 2, 8, "dried", "'true'", "yes or no",
      "write yes or no, in lower case")),
    ("points:\n  - mold_and_wet_soil: 8,52\n",
     ("not-a-reading", 3, 24, "points[0].mold_and_wet_soil", "'8,52'", "a number",
      "write the digits as read, with a decimal point and no comma: 13.10")),
    ("points:\n  - mold_and_wet_soil: [8.52]\n",
     ("not-a-reading", 3, 24, "points[0].mold_and_wet_soil", "a list", "a number",
      "write the digits as read, with a decimal point and no comma: 13.10")),
    ("points:\n  - container_and_dry: 1e3\n",
     ("not-a-reading", 3, 24, "points[0].container_and_dry", "'1e3'", "a number",
      "write the digits as read, with a decimal point and no comma: 13.10")),
    ("points:\n  - container_and_dry: [1, 2, x]\n",
     ("not-a-reading", 3, 31, "points[0].container_and_dry[2]", "'x'", "a number",
      "write the digits as read, with a decimal point and no comma: 13.10")),
    ("points:\n  - mold_and_wet_soil: 0\n",
     ("out-of-range", 3, 24, "points[0].mold_and_wet_soil", "0", "more than 0",
      "check the sign and the decimal point")),
    ("points:\n  - container_mass: -0.1\n",
     ("out-of-range", 3, 21, "points[0].container_mass", "-0.1", "at least 0",
      "check the sign and the decimal point")),
    ("retained: 112.4\n",
     ("out-of-range", 2, 11, "retained", "112.4", "at most 100",
      "check the sign and the decimal point")),
    ("layers: 5.0\n",
     ("not-a-count", 2, 9, "layers", "'5.0'", "a whole number",
      "write digits only, such as 25")),
    ("layers: 25\n",
     ("wrong-value", 2, 9, "layers", "'25'", "a value valid for this kind of record",
      "no method has so many layers")),
    ("compacted: {on: 10/03/2026}\n",
     ("not-a-date", 2, 17, "compacted.on", "'10/03/2026'", "a date as YYYY-MM-DD",
      "write year, month and day, such as 2026-03-10")),
    ("compacted: {on: 2026-02-30}\n",
     ("not-a-date", 2, 17, "compacted.on", "'2026-02-30'", "a date as YYYY-MM-DD",
      "check month and day: the calendar has no such date")),
    ("compacted: {on: 2026-03-10, by: T 07}\n",
     ("not-a-code", 2, 33, "compacted.by", "'T 07'", "a staff code",
      "write the code, such as T07")),
    ("compacted: T07\n",
     ("wrong-shape", 2, 12, "compacted", "'T07'", "a mapping of fields",
      "write its fields below it, indented")),
    ("compacted: [T07]\n",
     ("wrong-shape", 2, 12, "compacted", "a list", "a mapping of fields",
      "write its fields below it, indented")),
    ("points: {container_mass: 1}\n",
     ("wrong-shape", 2, 9, "points", "a mapping", "a list",
      "write each entry on its own line, after a dash")),
    ("points:\n  - container_mass: 1\n  -\n",
     ("wrong-shape", 4, 4, "points[1]", "nothing", "a mapping of fields",
      "write its fields below it, indented")),
    ("staff: T07\n",
     ("wrong-shape", 2, 8, "staff", "'T07'", "a mapping of fields",
      "write its fields below it, indented")),
    ("staff: {T07: {on: x}}\n",
     ("not-a-date", 2, 19, "staff.T07.on", "'x'", "a date as YYYY-MM-DD",
      "write year, month and day, such as 2026-03-10")),
    ("staff: {T07: {on: 2026-03-10, bye: x}}\n",
     ("unknown-field", 2, 31, "staff.T07.bye", "bye", "a known field",
      "write by, if you mean that")),
    ("remarks: [a]\n",
     ("not-text", 2, 10, "remarks", "a list", "some text",
      "enter the text, or delete the line")),
    ("remarks: ''\n",
     ("not-text", 2, 10, "remarks", "''", "some text",
      "enter the text, or delete the line")),
    ("sha256: abc\n",
     ("not-a-digest", 2, 9, "sha256", "'abc'",
      "a SHA-256: 64 digits and letters a to f",
      "copy the whole digest again, in lower case")),
    ("site: soils.example\n",
     ("not-an-address", 2, 7, "site", "'soils.example'",
      "the address of a site, with https:// and no blanks",
      "write it as people open it, such as https://soils.example/reports/")),
    ("steps: [1]\n",
     ("wrong-length", 2, 8, "steps", "1 in the list", "at least 2",
      "add the missing entries, or delete the extra ones")),
    ("steps: [1, 2, 3, 4]\n",
     ("wrong-length", 2, 8, "steps", "4 in the list", "at most 3",
      "add the missing entries, or delete the extra ones")),
    ("gravity: {value: 2.69}\n",
     ("missing-field", 2, 10, "gravity.basis", "nothing", "measured or assumed",
      "write `basis: …` in gravity")),
    ("gravity: {value: 2.69, basis: guessed}\n",
     ("not-a-choice", 2, 31, "gravity.basis", "'guessed'", "measured or assumed",
      "write one of these")),
    ("gravity: {test: HF-0109, basis: assumed}\n",
     ("unknown-field", 2, 26, "gravity.basis", "basis",
      "test", "delete or correct this field")),
    ("gravity: {test: HF/9}\n",
     ("not-an-id", 2, 17, "gravity.test", "'HF/9'",
      "an id: letters, digits, . - _, at most 64, letter or digit first, "
      "not ending in .issued or .r and a number, not index.html",
      "write an id such as HF-0117")),
    ("gravity: 2.69\n",
     ("wrong-shape", 2, 10, "gravity", "'2.69'", "a mapping of fields",
      "write its fields below it, indented")),
]  # fmt: skip


@pytest.mark.parametrize(("written", "flag"), REFUSED)
def test_each_fault_is_said_once_at_its_place(
    written: str, flag: tuple[str, int, int, str, str, str, str]
) -> None:
    source = read_source("records/x.yaml", (ID + written).encode())

    record, flags = read_model(source, Bench)

    assert record is None
    (seen,) = flags
    name, line, column, field, found, expected, mend = flag
    assert field_path(seen.field) == field
    assert str(seen) == (
        f"records/x.yaml:{line}:{column}: error: {name}\n"
        f"    {field_label(seen.field)}: found {found}; expected: {expected}\n"
        f"    corrective action: {mend}"
    )
    assert seen.basis == "record format 1"
    assert seen.severity is Severity.ERROR


def test_a_missing_field_of_the_record_itself_stands_at_its_beginning() -> None:
    record, flags = read_model(read_source("x", b"layers: 5\n"), Bench)

    assert record is None
    assert str(flags[0]) == (
        "x:1:1: error: missing-field\n"
        "    id: found nothing; expected: id\n"
        "    corrective action: write `id: …`"
    )


def test_what_is_blank_is_absent() -> None:
    written = ID + (
        "layers:\ncompacted: {on: 2026-03-10, by: }\n"
        "reviewed: {on: , by: }\npoints:\n  - {container_mass: }\n"
    )

    record, flags = read_model(read_source("x", written.encode()), Bench)

    assert flags == []
    assert record is not None
    assert record.layers is None
    assert record.compacted is not None
    assert record.compacted.by is None
    assert record.reviewed is None
    assert record.points == (Point(),)


def test_a_name_that_no_one_knows_is_told_though_nothing_stands_after_it() -> None:
    written = ID + (
        "colour:\nreviewd: {on: , by: }\nreviewed: {onn: , by: }\nlayers:\n"
        "points:\n  - {container_mas: }\ngravity: {tests: }\n"
        "staff: {T07: {bye: , on: 2026-03-10}, T08: {on: }}\n"
    )

    record, flags = read_model(read_source("x", written.encode()), Bench)

    assert record is None
    assert [(flag.flag, flag.line, flag.column, flag.mend) for flag in flags] == [
        ("unknown-field", 2, 1, flags[0].mend),
        ("unknown-field", 3, 1, "write reviewed, if you mean that"),
        ("unknown-field", 4, 12, "write on, if you mean that"),
        ("unknown-field", 7, 6, "write container_mass, if you mean that"),
        ("unknown-field", 8, 11, "write test, if you mean that"),
        ("unknown-field", 9, 15, "write by, if you mean that"),
    ]
    assert flags[0].expected.startswith("id, status, face")
    assert flags[0].mend == "delete or correct this field"


def test_an_empty_mapping_that_was_written_is_not_blank() -> None:
    assert without_blanks({"a": {}, "b": {"c": {"d": None}}, "e": []}) == {
        "a": {},
        "e": [],
    }


def test_a_good_record_keeps_what_was_read() -> None:
    written = ID + (
        "face: sector\nlayers: 5\ngravity: {test: HF-0109}\n"
        "staff: {T07: {on: 2026-03-10}}\nsteps: [1, 2.50]\n"
        "points: [{container_and_dry: [129.61, 129.60]}, {container_and_dry: 1}]\n"
    )

    record, flags = read_model(read_source("x", written.encode()), Bench)

    assert flags == []
    assert record is not None
    assert record.face is Face.SECTOR
    assert record.gravity == Reference(test="HF-0109")
    assert str(record.steps) == "(Decimal('1'), Decimal('2.50'))"
    assert record.points[1].container_and_dry == (Decimal(1),)


def test_every_fault_of_a_file_is_told_by_line() -> None:
    written = ID + "layers: x\nlayers: 5\nstatus: done\ncolour: red\na: *b\n"

    record, flags = read_model(read_source("x", written.encode()), Bench)

    assert record is None
    assert [(flag.flag, flag.line) for flag in flags] == [
        ("not-a-count", 2),
        ("duplicate-key", 3),
        ("not-a-choice", 4),
        ("unknown-field", 5),
        ("unknown-field", 6),
        ("alias", 6),
    ]


@pytest.mark.parametrize(
    ("written", "flags"),
    [
        ("compacted: {on: .nan}\n", ["not-a-number"]),
        ("compacted: {on: *day}\n", ["alias"]),
        ("compacted: {<<: {on: 2026-03-10}}\n", ["merge-key"]),
        ("layers: .inf\n", ["not-a-number"]),
        ("layers: !!int 5\n", ["tag"]),
    ],
)
def test_what_the_reader_refused_is_not_told_twice(
    written: str, flags: list[str]
) -> None:
    record, seen = read_model(read_source("x", (ID + written).encode()), Bench)

    assert record is None
    assert [flag.flag for flag in seen] == flags


def test_a_file_that_is_no_yaml_is_not_judged_by_its_kind() -> None:
    record, flags = read_model(read_source("x", b"layers: [5\n"), Bench)

    assert record is None
    assert [flag.flag for flag in flags] == ["yaml-syntax"]


def test_a_thousand_unknown_fields_are_not_all_told() -> None:
    written = ID + "".join(f"field_{n}: 1\n" for n in range(1000))

    record, flags = read_model(read_source("x", written.encode()), Bench)

    assert record is None
    assert len(flags) == 101
    assert flags[-1].flag == "too-many-faults"


@pytest.mark.parametrize(
    ("word", "near"),
    [("MOLD_MAS", "mold_mass"), ("mold_masss", "mold_mass"), ("", ""), ("zz", "")],
)
def test_the_nearest_word_is_offered_or_none(word: str, near: str) -> None:
    assert nearest(word, ["mold_mass", "mold_volume"]) == near


@pytest.mark.parametrize(
    ("choices", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a or b"), (["a", "b", "c"], "a, b or c")],
)
def test_choices_are_listed_as_in_speech(choices: list[str], text: str) -> None:
    assert join_choices(choices) == text
