"""The report of a test: the blocks that every kind has, in one order."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, TypeAlias

from buildsite.kinds.kind import Case
from buildsite.kinds.reporting import readable_text
from buildsite.kinds.sheet import (
    Cell,
    Column,
    Note,
    Plot,
    Row,
    Sheet,
    Table,
    fact_table,
)
from buildsite.kinds.tests.shared import facts, notes
from buildsite.kinds.tests.shared.departures import departures, without_departures
from buildsite.kinds.tests.shared.record import AnyTest, standard_followed, tested_on
from buildsite.record.flags import Flag

Block: TypeAlias = Table | Plot | Note | None
"""A block of a report; None where there is nothing to state."""


def result_rows(
    case: AnyTest,
    names: Iterable[str],
    words: Callable[[AnyTest, str], str] = Case.word,
) -> tuple[Row, ...]:
    """Return results, each under its `words`; those without a word are left out."""
    return tuple(
        Row(
            (
                Cell(label[:1].upper() + label[1:]),
                Cell(readable_text(case.results[name].reported)),
            ),
            mark=name,
            step=name,
        )
        for name in names
        if (label := words(case, name))
    )


def result_table(
    case: AnyTest,
    without: str,
    note: str = "",
    words: Callable[[AnyTest, str], str] = Case.word,
) -> Table:
    """Return the results, each under its `words`; `without` says why there are none."""
    lines = result_rows(case, case.results, words)
    none = (Row((Cell("No result"), Cell(without)), mark="none"),)
    return Table(
        "results",
        "Results",
        (Column("Result"), Column("Reported")),
        lines or none,
        role="results",
        headed="row",
        note=note,
    )


NUMBER = Column("No.", number=True, key="number")


def line_table(
    name: str,
    title: str,
    columns: Sequence[Column],
    lines: Iterable[tuple[Any, Sequence[str]]],
) -> Table | None:
    """
    Return a table of the lines of a bench sheet; None where there are none.

    `columns` are all but the number's. `lines` are the values of each, with `number`
    and `rejected`, and its texts.
    """
    rows = tuple(
        Row(
            tuple(map(Cell, (str(found.number), *texts))),
            mark="rejected" if found.rejected else "",
            point=found.number,
        )
        for found, texts in lines
    )
    if not rows:
        return None
    return Table(name, title, (NUMBER, *columns), rows, role="points")


def report(
    case: AnyTest,
    flags: tuple[Flag, ...],
    *,
    title: str,
    results: Sequence[Block],
    lines: Sequence[Block],
    method: Iterable[tuple[str, Cell | str]],
    hazards: str,
    cautions: tuple[str, ...],
    equipment: Iterable[facts.EquipmentRow] = (),
    from_customer: Iterable[str] = (),
    after_flags: Sequence[Block] = (),
    after_rejected: Sequence[Block] = (),
) -> Sheet:
    """
    Return a report, its blocks in reading order.

    `title` is for a test whose method is not on file. `method` are facts beside
    standard and variant, `hazards` the cautions in a few words, `equipment` what
    `device_rows` does not list, `from_customer` the values used that the customer
    supplied, beside those of the sample.
    """
    used = standard_followed(case.record)
    variant = used.variant if used and used.variant != "none" else ""
    tared = "Balance set to zero with each on it" * bool(case.record.balance_tared)
    about: list[tuple[str, Cell | str]] = [
        facts.standard_row(case),
        ("Variant", variant),
        *method,
        ("Empty containers", tared),
    ]
    blocks: list[Block] = [
        notes.withdrawn(case),
        *results,
        *lines,
        facts.sample_facts(case),
        fact_table("method", "Method", about),
        facts.acts(case),
        facts.equipment([*equipment, *facts.device_rows(case)]),
        notes.flag_table(without_departures(case, flags)),
        notes.note_table(flags),
        *after_flags,
        notes.rejected(case),
        *after_rejected,
        departures(case, flags),
        notes.remarks(case),
        notes.outside(case),
        notes.statements(case, hazards, from_customer),
        notes.cautions(cautions),
    ]
    return Sheet(
        title=case.method.title if case.method is not None else title,
        subtitle=facts.standard_text(used) if used is not None else "",
        blocks=tuple(block for block in blocks if block is not None),
        day=tested_on(case.record),
    )
