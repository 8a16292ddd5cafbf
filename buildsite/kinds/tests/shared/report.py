"""The report of a test: the blocks that every kind has, in one order."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, TypeAlias

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
from buildsite.kinds.tests.shared.record import AnyTest, tested_on
from buildsite.record.flags import Flag

Block: TypeAlias = Table | Plot | Note | None
"""A block of a report; None where there is nothing to say."""


def word_for(case: AnyTest, name: str) -> str:
    """Return what the standard calls a result."""
    method = case.method
    return method.word(name) if method is not None else name.replace("_", " ")


def result_table(
    case: AnyTest,
    without: str,
    note: str = "",
    words: Callable[[AnyTest, str], str] = word_for,
) -> Table:
    """
    Lay out the results, each under the `words` for its name.

    `without` says why there is none, where there is none.
    """
    lines = tuple(
        Row((Cell(label[:1].upper() + label[1:]), Cell(one.reported)), mark=name)
        for name, one in case.results.items()
        if (label := words(case, name))
    )
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
    Lay out the lines of a bench sheet; nothing where there are none.

    Parameters
    ----------
    name, title
        Of the table.
    columns
        All but the first, which has the number of the line.
    lines
        Of each what was computed, with its `number` and whether it was `rejected`, and
        the texts to print.
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
    after_flags: Sequence[Block] = (),
    after_rejected: Sequence[Block] = (),
) -> Sheet:
    """
    Lay out everything that a report says, in reading order.

    Parameters
    ----------
    title
        Where the method is not on file.
    results, lines
        The results, and the readings that they follow from.
    method
        How the test was made, beside its standard and variant.
    hazards
        What may hurt who repeats the work, in a few words.
    cautions
        The same at length, for those who do it.
    equipment
        What is named elsewhere than under `equipment`, or is more than a device.
    after_flags, after_rejected
        Further blocks, at these two places.
    """
    used = case.record.standard
    variant = "" if used.variant == "none" else used.variant
    about = [facts.standard_row(case), ("Variant", variant), *method]
    blocks: list[Block] = [
        notes.withdrawn(case),
        *results,
        *lines,
        facts.sample_facts(case),
        fact_table("method", "Method", about),
        facts.acts(case),
        facts.equipment([*equipment, *facts.device_rows(case)]),
        notes.flag_table(flags),
        notes.note_table(flags),
        *after_flags,
        notes.rejected(case),
        *after_rejected,
        notes.departures(case),
        notes.remarks(case),
        notes.outside(case),
        notes.statements(case, hazards),
        notes.cautions(cautions),
    ]
    return Sheet(
        title=case.method.title if case.method is not None else title,
        subtitle=facts.standard_text(used),
        blocks=tuple(block for block in blocks if block is not None),
        day=tested_on(case.record),
    )
