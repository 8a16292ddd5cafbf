"""Columns said once: which readings they find, and what follows from them."""

from decimal import Decimal
from types import SimpleNamespace as Part
from typing import Any

from buildsite.kinds.tests.shared.columns import (
    Column,
    Columns,
    as_written,
    gathered,
    lines_at,
    missing_in,
    readings,
    resolution_cells,
    units_of,
    weighed_on,
    whole_record,
)

FULL = Part(empty=Decimal("13.10"), dry=(Decimal("20.50"), Decimal("20.49")))
BARE = Part(empty=None, dry=(), rejected="spilled")

CANS = Columns(
    lines_at("cans", "can"),
    (
        Column("empty", "Empty can", "fine", "fine_balance", "resolution_fine"),
        Column("dry", "Can and dry soil", "fine", "fine_balance", "resolution_fine"),
    ),
)
WHOLE = Columns(whole_record, (Column("total", "Whole", "rough", "rough_balance"),))


def record(*cans: Any, total: Decimal | None = None) -> Any:
    units = Part(fine="g", rough="kg")
    return Part(cans=cans, total=total, units=units, derived={})


def test_a_line_is_known_by_its_place_and_number() -> None:
    first, second = CANS.lines(record(FULL, BARE))

    assert (first.field, first.words, first.rejected) == (("cans", 0), "can 1", False)
    assert (second.field, second.words, second.rejected) == (("cans", 1), "can 2", True)


def test_successive_readings_stand_in_one_column() -> None:
    found = list(readings(CANS.lines(record(FULL, BARE)), CANS.names))

    assert found == [
        (("cans", 0, "empty"), Decimal("13.10")),
        (("cans", 0, "dry"), Decimal("20.50")),
        (("cans", 0, "dry"), Decimal("20.49")),
    ]


def test_readings_are_gathered_column_by_column() -> None:
    one = record(FULL, BARE, total=Decimal(900))

    assert gathered(one, CANS) == {
        "empty": ((("cans", 0, "empty"), Decimal("13.10")),),
        "dry": (
            (("cans", 0, "dry"), Decimal("20.50")),
            (("cans", 0, "dry"), Decimal("20.49")),
        ),
    }
    assert gathered(one, WHOLE) == {"total": ((("total",), Decimal(900)),)}
    assert gathered(one, CANS) is gathered(one, CANS)


def test_nothing_and_an_empty_list_are_missing_alike() -> None:
    assert missing_in(BARE, CANS.names) == ["empty", "dry"]
    assert missing_in(FULL, CANS.names) == []


def test_a_line_of_too_few_readings_is_not_compared() -> None:
    assert list(as_written(record(FULL, BARE), CANS, 3, "can")) == [
        (("cans", 0), ("can", "13.10", "20.50", "20.49"))
    ]
    assert list(as_written(record(FULL), CANS, 4)) == []


def test_each_balance_has_its_readings_and_their_unit() -> None:
    found = weighed_on(record(FULL, total=Decimal("5.1")), [CANS, WHOLE])

    assert found == {
        "fine_balance": ([Decimal("13.10"), Decimal("20.50"), Decimal("20.49")], "g"),
        "rough_balance": ([Decimal("5.1")], "kg"),
    }


def test_only_a_column_with_a_resolution_asks_it_of_its_balance() -> None:
    assert resolution_cells([CANS, WHOLE]) == {
        "fine_balance": ["resolution_fine_g", "resolution_fine_lb"]
    }


def test_every_reading_has_its_line_of_units() -> None:
    assert units_of([CANS, WHOLE]) == {"empty": "fine", "dry": "fine", "total": "rough"}
