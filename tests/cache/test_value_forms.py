"""Frozen values are the same after a round trip through JSON."""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from pathlib import Path
from typing import Any, Literal, NamedTuple

import pytest

from buildsite.archive.across import traces_of
from buildsite.archive.archive import Archive
from buildsite.archive.differences import FieldChange
from buildsite.archive.result_rows import row_of_record
from buildsite.archive.states import working_archive
from buildsite.archive.turned_verdicts import Turned
from buildsite.cache.value_forms import form_of
from buildsite.kinds.follows import Follow
from buildsite.kinds.traces import Trace
from buildsite.pages.rows import Row, row_of, row_of_unreadable
from buildsite.values import dataclass

ROOT = Path(__file__).parents[2]


class Shade(StrEnum):
    DARK = "dark"


class Pair(NamedTuple):
    first: int
    second: float | None = None


@dataclass(frozen=True)
class Leaf:
    name: str
    inner: "Leaf | None" = None


@dataclass(frozen=True)
class Twig:
    leaves: tuple[Leaf, ...] = ()


def again(kind: Any, value: Any) -> Any:
    form = form_of(kind)
    return form.read(json.loads(json.dumps(form.write(value))))


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (str, "ρd, “121.4”"),
        (float, 0.1 + 0.2),
        (float, 1),
        (bool, True),
        (date | None, date(2026, 3, 11)),
        (date | None, None),
        (Decimal, Decimal("13.10")),
        (bytes, bytes(range(256))),
        (Shade, Shade.DARK),
        (Literal["a", "b"], "b"),
        (tuple[str | int, ...], ("points", 1)),
        (tuple[int, Leaf], (2, Leaf("a", Leaf("b")))),
        (tuple[()], ()),
        (frozenset[str], frozenset({"b", "a"})),
        (dict[str, tuple[date, ...]], {"b": (date(2026, 1, 1),), "a": ()}),
        (Pair | None, Pair(1)),
        (Leaf | Twig, Twig((Leaf("a"), Leaf("b")))),
        (Leaf | Twig | None, Leaf("a")),
        (tuple[Leaf, ...] | Twig, (Leaf("a"),)),
    ],
)
def test_a_value_is_the_same_after_a_round_trip(kind: Any, value: Any) -> None:
    read = again(kind, value)

    assert (read, type(read)) == (value, type(value))
    if not isinstance(value, frozenset):  # whose order is not the same in each process
        assert repr(read) == repr(value)


def test_a_mapping_keeps_its_order() -> None:
    assert [*again(dict[str, int], {"b": 1, "a": 2})] == ["b", "a"]


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (str, Shade.DARK),
        (str, b"bytes"),
        (Leaf, Twig()),
        (Leaf | Twig, "a"),
        (tuple[int, int], (1,)),
        (Leaf | None, Twig()),
    ],
)
def test_a_value_that_its_type_does_not_say_is_refused(kind: Any, value: Any) -> None:
    with pytest.raises((TypeError, ValueError)):
        form_of(kind).write(value)


@pytest.mark.parametrize("kind", [object, list, complex, set[str]])
def test_a_type_without_a_form_is_refused(kind: Any) -> None:
    with pytest.raises(TypeError, match="no form"):
        form_of(kind)


def rows_of(archive: Archive) -> Iterator[Row]:
    for file in archive.files("test"):
        made = archive.outcome(file)
        data = row_of_record(archive, file, made)
        if made is None:
            yield replace(row_of_unreadable(archive, file), data=data)
        else:
            yield replace(row_of(archive, made, made.sheet()), data=data)


def test_every_row_and_trace_of_the_demo_is_the_same_after_a_round_trip() -> None:
    archive = working_archive(ROOT)
    rows, traces = [*rows_of(archive)], traces_of(archive, archive.files("test"))

    read = [again(Row, row) for row in rows]

    assert read == rows
    assert [*map(repr, read)] == [*map(repr, rows)]  # what is not compared too
    assert [again(Trace, trace) for trace in traces] == traces
    assert {type(row.told).__name__ for row in rows} >= {"FieldTest", "LiftPaper"}


def test_an_edit_that_took_a_failure_away_is_the_same_after_a_round_trip() -> None:
    change = FieldChange("a.yaml", "points[0]", "1", "2")
    follow = Follow("HF-F1", "12+40", "94 %", "96 %", "fail", "pass")
    when = date(2026, 1, 1)
    turned = Turned("HF-F1", when, "c0ffee", "T07", "misread", (change,), follow)

    assert again(Turned, turned) == turned
