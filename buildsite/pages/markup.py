"""
Rows of tables as HTML.

Not in a template: a site has thousands, and a template takes three times as long.
"""

import re
from collections.abc import Sequence
from functools import lru_cache

from markupsafe import Markup, escape

from buildsite.kinds.sheet import Cell, Column, Row, Table
from buildsite.pages.figure.small import small_curve
from buildsite.pages.links import Links

MARKS_IN_WORDS = ("rejected", "used", "changed")
"""Marks that are shown as a word next to the first cell of the row."""

SHORT = 18
"""Length up to which a cell is kept on one line: ids, dates, methods."""

FIGURE_SPACE, POINT_SPACE = "\u2007", "\u2008"
PADDING = FIGURE_SPACE + POINT_SPACE


def keep_units(text: str) -> str:
    r"""
    Keep a number and its unit on one line.

    >>> keep_units("12.3 % at 20 °C").split(" ")
    ['12.3\xa0%', 'at', '20\xa0°C']
    """
    return text.replace(" %", "\u00a0%").replace(" °C", "\u00a0°C")


def decimals(text: str) -> int | None:
    """
    Return the decimals of a number as printed; None for other text.

    >>> decimals("121.30"), decimals("-4"), decimals("—")
    (2, 0, None)
    """
    whole, _, rest = text.lstrip("-").partition(".")
    if not whole.isdigit() or (rest and not rest.isdigit()):
        return None
    return len(rest)


def align_decimals(texts: Sequence[str]) -> list[str]:
    """
    Pad numbers with figure spaces so that their decimal points align.

    >>> [one.replace(FIGURE_SPACE, "_") for one in align_decimals(["8.5", "8.52", "—"])]
    ['8.5_', '8.52', '—']
    """
    places = [decimals(text) for text in texts]
    most = max((place for place in places if place is not None), default=0)
    filled = []
    for text, place in zip(texts, places, strict=True):
        if place is None or place == most:
            filled.append(text)
        else:
            point = POINT_SPACE if place == 0 else ""
            filled.append(text + point + FIGURE_SPACE * (most - place))
    return filled


SPECIAL = re.compile("[&<>'\"]").search


@lru_cache(1 << 12)
def escaped(text: str) -> str:
    """Return a text escaped as templates do; most need no escaping."""
    return str(escape(text)) if SPECIAL(text) else text


@lru_cache(1 << 12)
def attribute(name: str, text: str) -> str:
    """Return an attribute; empty for an empty value."""
    return f' {name}="{escaped(text)}"' if text else ""


def linked(text: str, href: str) -> str:
    """Return a link, or only the text."""
    return f"<a{attribute('href', href)}>{escaped(text)}</a>" if href else escaped(text)


OPTION = re.compile(r"--\S+(?: (?!--)\S+)*|\S+")
"""An option of a command with its value, or a word before the options."""


def command(text: str) -> str:
    """
    Return a command whose lines break between options alone.

    >>> command("review HF-0117 --by CODE")
    '<code><span>review</span> <span>HF-0117</span> <span>--by CODE</span></code>'
    """
    parts = (f"<span>{escaped(part)}</span>" for part in OPTION.findall(text))
    return f"<code>{' '.join(parts)}</code>"


def cell_markup(cell: Cell, text: str, links: Links) -> str:
    """Return what stands in a cell."""
    if cell.command:
        return command(text)
    curve = cell.curve
    drawn = small_curve(curve.way, curve.peak) if curve is not None else ""
    return linked(text, links.to(cell.to) if cell.to else "") + drawn


def row_class(row: Row) -> str:
    """Return the class attribute of a row."""
    return attribute("class", f"is-{row.mark.replace('_', '-')}" if row.mark else "")


EMPTY = "—"
"""Stands in a cell that has nothing; on a phone such a cell is not shown."""


def cell_class(column: Column, text: str) -> str:
    """Return what a cell holds: a number, a short text, nothing."""
    kind = "n" if column.number else "s" if len(text) <= SHORT else ""
    return f"{kind} e" if text.strip(PADDING) == EMPTY else kind


def cell_texts(table: Table) -> list[list[str]]:
    """Return the texts of a table by row, decimal points aligned."""
    lines = [[keep_units(cell.text) for cell in row.cells] for row in table.rows]
    for i, column in enumerate(table.columns):
        if column.number:
            texts = align_decimals([line[i] for line in lines])
            for line, text in zip(lines, texts, strict=True):
                line[i] = text
    return lines


def table_rows(table: Table, links: Links) -> Markup:
    """Return the rows of a table with column headings."""
    columns, lines = table.columns, []
    labels = [
        escaped(f"{one.label}, {one.unit}" if one.unit else one.label)
        for one in columns
    ]
    for row, texts in zip(table.rows, cell_texts(table), strict=True):
        classes = [
            cell_class(column, text)
            for column, text in zip(columns, texts, strict=True)
        ]
        css = [attribute("class", one) for one in classes]
        cells = [
            cell_markup(cell, text, links)
            for cell, text in zip(row.cells, texts, strict=True)
        ]
        point = attribute("data-point", str(row.point or ""))
        word = row.mark if row.mark in MARKS_IN_WORDS else ""
        tag = f' <span class="tag">{word}</span>' if word else ""
        lines += [
            f"<tr{row_class(row)}{attribute('id', row.anchor)}{point}"
            f"{attribute('data-words', row.words)}>\n",
            f'<th scope="row"{css[0]}>{cells[0]}{tag}</th>\n',
            *(
                f'<td{css[i]} data-label="{labels[i]}">{cells[i]}</td>\n'
                for i in range(1, len(cells))
            ),
            "</tr>\n",
        ]
    return Markup("".join(lines))  # noqa: S704 (all texts in it are escaped)


NUMBER = re.compile(r"[+−-]?\d[\d.,]*(?= )")


def sized_unit(text: str, href: str = "") -> str:
    r"""
    Return a result, its unit apart, so that the figure may stand larger.

    >>> sized_unit("121.4 lb/ft³"), sized_unit("Pass")
    ('121.4<span class="unit">\xa0lb/ft³</span>', 'Pass')
    """
    if href:
        return f"<a{attribute('href', href)}>{sized_unit(text)}</a>"
    found = NUMBER.match(text)
    if found is None:
        return escaped(keep_units(text))
    unit = escaped(text[found.end() + 1 :])
    return f'{escaped(found[0])}<span class="unit">\u00a0{unit}</span>'


def fact_rows(table: Table, links: Links) -> Markup:
    """Return labels with their values."""
    lines = []
    sized = table.role in ("results", "lesser")
    for row in table.rows:
        head, *cells = row.cells
        stated = "".join(
            f"<dd>{sized_unit(cell.text, links.to(cell.to))}</dd>"
            if sized and not i
            else f"<dd>{linked(keep_units(cell.text), links.to(cell.to))}</dd>"
            for i, cell in enumerate(cells)
            if cell.text
        )
        name = f"<dt>{escaped(keep_units(head.text))}</dt>"
        lines.append(f"<div{row_class(row)}>{name}{stated}</div>\n")
    return Markup("".join(lines))  # noqa: S704 (all texts in it are escaped)
