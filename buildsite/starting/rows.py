"""A table as spreadsheets write it: bytes → rows of cells, or why not."""

import codecs
import csv
import io
import re

from buildsite.record.messages import quoted
from buildsite.record.unseen import UNSEEN
from buildsite.starting.columns import spreadsheet_letters
from buildsite.values import dataclass

SEPARATORS = (",", ";", "\t")
HINT = re.compile(r"sep=([,;\t])\r?\n")
"""A first line by which some spreadsheets say what stands between cells."""


@dataclass(frozen=True)
class Complaint:
    """A word for what could not be used: where it stands, what is wrong, the remedy."""

    row: int
    index: int | None
    name: str
    found: str
    expected: str
    mend: str

    def __str__(self) -> str:
        """Write the place, what is wrong, and the corrective action."""
        where = f"row {self.row}"
        if self.index is not None:
            where += f", column {spreadsheet_letters(self.index)}"
        if self.name:
            where += f", {self.name}"
        return (
            f"{where}\n    found {self.found}; expected: {self.expected}\n"
            f"    corrective action: {self.mend}"
        )


@dataclass(frozen=True)
class Rows:
    """Rows by their number in a spreadsheet, each with its cells, and the separator."""

    rows: tuple[tuple[int, list[str]], ...]
    separator: str


def read_rows(data: bytes) -> tuple[Rows, list[Complaint]]:
    """Take a table apart. Rows in which nothing stands are passed over."""
    text, complaints = decode(data)
    hint = HINT.match(text)
    text = text[hint.end() :] if hint else text
    separator = hint[1] if hint else separator_of(text)
    rows: list[tuple[int, list[str]]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            clean = [cell.replace("\r\n", "\n").strip() for cell in cells]
            if any(clean):
                rows.append((number, clean))
    except csv.Error as error:
        complaints.append(
            Complaint(
                number + 1,
                None,
                "",
                str(error),
                "cells in which a quotation mark is written twice",
                "write the table anew with the spreadsheet, as CSV UTF-8",
            )
        )
    complaints += unseen_characters(rows)
    if not rows and not complaints:
        complaints.append(
            Complaint(1, None, "", "nothing", EXPECTED_ROWS, "see --template")
        )
    return Rows(tuple(rows), separator), complaints


EXPECTED_ROWS = "a row of names, then a row for each line of a test"


def decode(data: bytes) -> tuple[str, list[Complaint]]:
    """Decode a table: UTF-8, or what spreadsheets call Unicode text."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", errors="replace"), []
    try:
        return data.decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        found = f"the byte 0x{data[error.start]:02X}, which is no UTF-8"
        mend = "save the table anew as CSV UTF-8"
        return "", [Complaint(row, None, "", found, "UTF-8", mend)]


def separator_of(text: str) -> str:
    """
    Tell what stands between cells, by the row of names.

    >>> separator_of("id;project"), separator_of("id")
    (';', ',')
    """
    first = text.lstrip("\r\n").partition("\n")[0]
    return max(SEPARATORS, key=first.count)


def unseen_characters(rows: list[tuple[int, list[str]]]) -> list[Complaint]:
    """Complain of characters that no one can see."""
    return [
        Complaint(
            number,
            index,
            "",
            f"{quoted(cell)}, with the character U+{ord(hidden[0]):04X}",
            "characters that can be seen",
            "type the cell anew",
        )
        for number, cells in rows
        for index, cell in enumerate(cells)
        if (hidden := UNSEEN.search(cell))
    ]
