"""
The tables and notes of a kept report, read back from the file that was sent.

For the page of a test of which this program computes another result, or whose inputs
are not available: what was issued is shown as it was printed, and nothing else.
"""

import re
from collections.abc import Iterator
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from buildsite.kinds.sheet import Cell, Column, Note, Row, Table
from buildsite.pages.markup import FIGURE_SPACE, POINT_SPACE

VOID = re.compile(r"<(?:img|br)\b[^>]*>")
"""The elements of a report that HTML leaves open."""

ROLES = (
    *("facts", "points", "more", "flags"),
    *("deviation", "remark", "statement", "target"),
)
"""Blocks read back. Results and figure are of the item and the kept result."""


def printed_blocks(report: bytes | None) -> Iterator[Table | Note]:
    """Yield the blocks of a kept report; none of one that is not in our markup."""
    main = main_of(report)
    for element in main.iter("div") if main is not None else ():
        kind, *roles = element.get("class", "").split() or ("",)
        head = element.find("h2")
        if kind == "block" and roles and roles[0] in ROLES and head is not None:
            found = block_of(element, head, roles[0])
            if found is not None:
                yield found


def printed_subtitle(report: bytes | None) -> str:
    """Return the standard that a kept report names under its number."""
    main = main_of(report)
    found = main.find(".//p[@class='subtitle']") if main is not None else None
    return text_of(found) if found is not None else ""


def main_of(report: bytes | None) -> Element | None:
    """Return the contents of a kept report, if it is in our markup."""
    text = report.decode(errors="replace") if report is not None else ""
    start, end = text.find("<main>"), text.rfind("</main>")
    if start < 0 or end < 0:
        return None
    main = VOID.sub("", text[start:end]) + "</main>"
    try:
        # Its digest stands in the item, and without a DTD there are no entities.
        return ElementTree.fromstring(main)  # noqa: S314
    except ElementTree.ParseError:
        return None  # a report by another program: its own page shows it


def block_of(element: Element, head: Element, role: str) -> Table | Note | None:
    """Return one block; None if it states nothing."""
    about = (head.get("id", ""), text_of(head))
    paragraphs = element.findall("p")
    notes = [one for one in paragraphs if one.get("class") == "note"]
    note = " ".join(map(text_of, notes))
    facts = [(one.find("dt"), one.find("dd")) for one in element.findall("dl/div")]
    if facts:
        rows = tuple(
            Row((Cell(text_of(label)), Cell(text_of(stated))))
            for label, stated in facts
            if label is not None and stated is not None
        )
        heads = (Column("What"), Column("Stated"))
        return Table(*about, heads, rows, role, headed="row", note=note)
    if element.find(".//tbody") is not None:
        # Points in another role: they would be exported under other names than a
        # test's own.
        role = "more" if role == "points" else role
        return Table(*about, columns(element), table_rows(element), role, note=note)
    stated = tuple(text_of(one) for one in paragraphs if one not in notes)
    return Note(*about, stated, role) if stated else None


def columns(element: Element) -> tuple[Column, ...]:
    """Return the columns of a printed table."""
    return tuple(
        Column(text_of(one), unit_of(one), number=one.get("class") == "n")
        for one in element.iterfind(".//thead/tr/th")
    )


def table_rows(element: Element) -> tuple[Row, ...]:
    """Return the rows of a printed table, rejected ones marked."""
    return tuple(
        Row(
            tuple(Cell(text_of(one)) for one in row),
            mark="rejected" if "is-rejected" in row.get("class", "").split() else "",
        )
        for row in element.iterfind(".//tbody/tr")
    )


def unit_of(element: Element) -> str:
    """Return the unit printed with a column's name."""
    found = element.find("span[@class='unit']")
    return text_of(found) if found is not None else ""


def text_of(element: Element) -> str:
    """
    Return a printed text without what pages add to it: tags, units, padding.

    >>> text_of(ElementTree.fromstring("<th>3 <span class='tag'>changed</span></th>"))
    '3'
    """
    parts = [element.text or ""]
    for one in element:
        aside = one.tag == "span" and one.get("class") in ("tag", "unit")
        parts += ["" if aside else "".join(one.itertext()), one.tail or ""]
    text = "".join(parts).replace(FIGURE_SPACE, "").replace(POINT_SPACE, "")
    return " ".join(text.split())
