"""Cells of standards that the laboratory confirmed with its own copy: `confirmed`."""

from collections.abc import Iterator
from datetime import date
from typing import Annotated, Any

from pydantic import Field

from buildsite.kinds.answers import ConfirmedCells
from buildsite.kinds.kind import Case, Ref
from buildsite.record.flags import Doubt, error, warning
from buildsite.record.messages import nearest
from buildsite.record.reading import Code, Day, Model, Text
from buildsite.standards.confirmed import (
    UNSURE,
    Confirmed,
    cells_named,
    methods_of,
    names_of,
    rows_of,
    same_standard,
    says,
    unchecked,
    with_confirmed,
)
from buildsite.standards.tables import designations, standard

JUDGE = ("review", "authorize")
"""Authorities of which one is needed to confirm a cell."""

CONTROLLED = "ISO/IEC 17025:2017, 7.2.1.2 and 8.3"


class Confirmation(Model):
    """A cell of a standard, read in the laboratory's own copy, by whom and when."""

    standard: Text
    method: Annotated[
        Text | None, Field(description="Only this method; all of them where silent.")
    ] = None
    cell: Annotated[Text, Field(description="As on the standard's page of methods.")]
    value: Annotated[
        Text, Field(description="As the copy has it, with tolerance and unit.")
    ]
    edition: Annotated[Text, Field(description="Of the publication that was read.")]
    clause: Text
    on: Day
    by: Code


def plain(one: Confirmation) -> Confirmed:
    """Return a confirmation as the standards take it."""
    return Confirmed(
        standard=one.standard,
        method=one.method or "",
        cell=one.cell,
        value=one.value,
        edition=one.edition,
        clause=one.clause,
        on=one.on,
        by=one.by,
    )


def why_not_by(lab: Any, code: str, on: date) -> str:
    """Return why a person could not confirm a cell that day; blank if they could."""
    who = lab.staff.get(code)
    if who is None:
        return f"{code}, not on the staff list"
    if not any(who.had(authority, on) for authority in JUDGE):
        return f"{code}, without the authority to review or authorize on {on}"
    return ""


def confirmed(lab: Any) -> tuple[Confirmed, ...]:
    """Return the confirmations that count: a person with authority made them."""
    if lab is None:
        return ()
    return tuple(
        plain(one) for one in lab.confirmed if not why_not_by(lab, one.by, one.on)
    )


def confirmed_answer(lab: Any, ref: Ref) -> ConfirmedCells | None:
    """Return the confirmed cells of the standards asked about, if there are any."""
    cells = tuple(
        one
        for one in confirmed(lab)
        if any(same_standard(one.standard, name) for name in ref.about)
    )
    return ConfirmedCells(cells) if cells else None


Shown = tuple[str, str, str]
"""A cell for a person: its name on the page of methods, value, publication."""


def unchecked_cells(lab: Any, designation: str) -> Iterator[Shown]:
    """Yield each cell of a standard that is not yet checked, and not confirmed."""
    seen = set[Shown]()
    for method in methods_of(designation, "", ""):
        for name, cell in rows_of(with_confirmed(method, confirmed(lab))):
            shown = (names_of(name, cell)[-1], str(cell), cell.source)
            if cell.status == UNSURE and shown not in seen:
                seen.add(shown)
                yield shown


@error("confirmed-cell-unknown", CONTROLLED)
def confirmed_cell_unknown(case: Case[Any, None]) -> Iterator[Doubt]:
    """A cell is confirmed that the standard on file does not have."""
    for i, one in enumerate(case.record.confirmed):
        known = standard(one.standard)
        if known is None:
            yield Doubt(
                ("confirmed", i, "standard"),
                one.standard,
                "a standard on file: " + ", ".join(designations()),
                "correct the designation",
            )
        elif one.method is not None and one.method not in known.methods:
            yield Doubt(
                ("confirmed", i, "method"),
                one.method,
                f"a method of {known.designation}: {', '.join(known.methods)}",
                "correct the method, or leave it out if the cell is of all methods",
            )
        elif not cells_named(plain(one)):
            names = unchecked(one.standard, one.method or "", one.edition)
            near = nearest(one.cell, names)
            yield Doubt(
                ("confirmed", i, "cell"),
                one.cell,
                f"a cell of {known.designation} that is not yet checked: "
                + ", ".join(names),
                f"enter perhaps {near}" if near else "enter one of these",
            )


@warning("confirmed-value-differs", CONTROLLED)
def confirmed_value_differs(case: Case[Any, None]) -> Iterator[Doubt]:
    """A cell is confirmed with another value than the program has now."""
    for i, one in enumerate(case.record.confirmed):
        cells = cells_named(plain(one))
        if cells and not any(says(cell, one.value) for cell in cells):
            values = dict.fromkeys(str(cell) for cell in cells)
            yield Doubt(
                ("confirmed", i, "value"),
                one.value,
                f"{' or '.join(values)}, the value that this program uses",
                "compare with your copy again; if the copy has the other value, the "
                "program is wrong there: report it, and judge the tests concerned",
            )


@error("confirmed-without-authority", "ISO/IEC 17025:2017, 6.2.5 and 6.2.6")
def confirmed_without_authority(case: Case[Any, None]) -> Iterator[Doubt]:
    """A cell is confirmed by a person unknown, or without authority on that day."""
    for i, one in enumerate(case.record.confirmed):
        found = why_not_by(case.record, one.by, one.on)
        if found:
            yield Doubt(
                ("confirmed", i, "by"),
                found,
                "a person who may review or authorize on that day",
                "have such a person look in the copy, and enter that code and day",
            )


RULES = (
    confirmed_cell_unknown,
    confirmed_value_differs,
    confirmed_without_authority,
)
