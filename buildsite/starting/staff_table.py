"""People out of a table: their lines on the laboratory's staff list."""

from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import flow_text
from buildsite.archive.entries import read_entry
from buildsite.kinds.kind import Kind
from buildsite.record.flags import Flag
from buildsite.record.messages import join_choices, nearest, quoted
from buildsite.record.places import LAB
from buildsite.record.set_reading import set_reading
from buildsite.record.shape import Leaf, leaves
from buildsite.record.source import read_source
from buildsite.starting.rows import Complaint, Rows, read_rows
from buildsite.values import dataclass

CODE = "code"
"""Column of the staff code; the others are named like the fields of a person."""


@dataclass(frozen=True)
class StaffTable:
    """The laboratory's record with the people of a table, or complaints."""

    data: bytes = b""
    codes: tuple[str, ...] = ()
    complaints: tuple[Complaint, ...] = ()


def person_fields(laboratory: Kind[Any, Any]) -> dict[str, Leaf]:
    """Return the fields of a person by name."""
    way = ("staff", "code")
    return {str(leaf.field[0]): leaf for leaf in leaves(laboratory.model, way)}


def empty_staff_table(laboratory: Kind[Any, Any]) -> bytes:
    """Return a table of people to fill in: its row of names."""
    names = ",".join((CODE, *person_fields(laboratory)))
    return f"\N{ZERO WIDTH NO-BREAK SPACE}{names}\r\n".encode()


def read_staff(
    archive: Archive, laboratory: Kind[Any, Any], table: bytes
) -> StaffTable:
    """
    Add the people of a table to the laboratory's record, all or none.

    Nobody's line is changed: that is an edit with a reason.
    """
    rows, complaints = read_rows(table)
    fields = person_fields(laboratory)
    if not complaints:
        complaints = unknown_columns(rows, fields)
    if complaints:
        return StaffTable(complaints=tuple(complaints))
    names = [name.casefold() for name in rows.rows[0][1]]
    source = read_source(LAB, archive.read_file(LAB))
    there = {code.casefold() for code in source.tree.get("staff") or {}}
    row_of: dict[str, int] = {}
    for number, cells in rows.rows[1:]:
        person = {name: cell for name, cell in zip(names, cells, strict=False) if cell}
        code = person.pop(CODE, "")
        if not code or code.casefold() in there:
            complaints.append(without_own_code(number, names.index(CODE), code))
            continue
        there.add(code.casefold())
        row_of[code] = number
        value = {name: as_list(fields[name], cell) for name, cell in person.items()}
        data = set_reading(source, ("staff", code), flow_text(value))
        source = read_source(LAB, data)
    for flag in read_entry(LAB, source.data).flags:
        complaints += unusable_cell(flag, row_of, names)
    if complaints:
        return StaffTable(complaints=tuple(sorted(complaints, key=lambda one: one.row)))
    return StaffTable(source.data, tuple(row_of))


def as_list(leaf: Leaf, cell: str) -> Any:
    """Return a cell: several values stand with a slash between them."""
    if not leaf.several:
        return cell
    return [one.strip() for one in cell.split("/") if one.strip()]


def unknown_columns(rows: Rows, fields: dict[str, Leaf]) -> list[Complaint]:
    """Return a complaint for each column that no person has, and without `code`."""
    number, names = rows.rows[0]
    known = (CODE, *fields)
    found = [
        Complaint(
            number,
            index,
            "",
            quoted(name),
            join_choices(known),
            f"perhaps {near}" if (near := nearest(name, known)) else "leave it out",
        )
        for index, name in enumerate(names)
        if name.casefold() not in known
    ]
    if CODE not in {name.casefold() for name in names}:
        mend = f"add a column {CODE}"
        found.append(Complaint(number, None, CODE, "no staff codes", "a code", mend))
    return found


def without_own_code(number: int, index: int, code: str) -> Complaint:
    """Return the complaint of a row without a code, or with one that is taken."""
    if not code:
        mend = "give everybody a code, such as T07"
        return Complaint(number, index, CODE, "nothing", "a staff code", mend)
    return Complaint(
        number,
        index,
        CODE,
        f"{code}, which is taken",
        "a code of its own",
        "take the row out; `buildsite enter lab` changes a person's line",
    )


def unusable_cell(
    flag: Flag, row_of: dict[str, int], names: list[str]
) -> list[Complaint]:
    """Return the complaint of a cell, from the flag of a field of somebody added."""
    place = flag.field
    if len(place) < 2 or place[0] != "staff" or place[1] not in row_of:
        return []
    name = str(place[2]) if len(place) > 2 else CODE
    index = names.index(name) if name in names else None
    row = row_of[str(place[1])]
    return [Complaint(row, index, name, flag.found, flag.expected, flag.mend)]
