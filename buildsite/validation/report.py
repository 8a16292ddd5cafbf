"""The validation as a table, as a page to print and sign, and as JSON."""

import json
from collections.abc import Iterator, Mapping, Sequence
from textwrap import wrap
from typing import Any

from buildsite.kinds.used import plain
from buildsite.validation.comparison import (
    Comparison,
    FlagRow,
    Row,
    Verdict,
    count_verdicts,
)
from buildsite.validation.examples import HALF_A_DIGIT, NONE, SOURCE_CLASSES

WIDTH = 80
HEADS = ("quantity", "unit", "published", "computed", "tolerance", "verdict")
NUMBERS = (2, 3, 4)
"""Columns that are aligned right."""


def number_text(row: Row) -> str:
    """Return a printed figure, shortened to the width of the table."""
    return row.published if len(row.published) <= LONGEST else row.published[:9] + "…"


LONGEST = 11


def cells(row: Row) -> tuple[str, ...]:
    """Return one figure as a line of the table."""
    return (
        row.quantity,
        row.unit,
        number_text(row),
        row.computed,
        row.tolerance,
        row.verdict,
    )


def align(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Align lines in columns, numbers to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        texts = (
            text.rjust(width) if i in NUMBERS else text.ljust(width)
            for i, (text, width) in enumerate(zip(row, widths, strict=True))
        )
        yield ("  " + " ".join(texts)).rstrip()


def wrap_text(text: str, indent: str) -> list[str]:
    """Break a sentence into lines; an address stays whole."""
    return wrap(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent + "  ",
        break_long_words=False,
        break_on_hyphens=False,
    )


def reasons(one: Comparison) -> Iterator[str]:
    """Return the reasons for tolerances other than half a digit, each once."""
    said: dict[str, list[str]] = {}
    for row in one.rows:
        columns = said.setdefault(row.because, [])
        if row.because != HALF_A_DIGIT and row.column not in columns:
            columns.append(row.column)
    for because, columns in said.items():
        if columns:
            yield f"tolerance: {because} ({', '.join(columns)})"


def slips(one: Comparison) -> Iterator[str]:
    """Return each slip of the source with the value that follows from its data."""
    for row in one.rows:
        if row.mended is not None:
            right = "no value" if row.mended == NONE else row.mended
            yield (
                f"{row.quantity}: {row.published} is a slip; "
                f"the data give {right} ({row.slip})"
            )


def flag_text(row: FlagRow) -> str:
    """
    Return a flag and whether it was raised.

    >>> flag_text(FlagRow("two-peaks", (), Verdict.RAISED))
    'flag two-peaks: raised'
    """
    what = "point" if len(row.points) == 1 else "points"
    at = f" at {what} {', '.join(map(str, row.points))}" if row.points else ""
    return f"flag {row.flag}{at}: {VERDICT_WORDS.get(row.verdict, row.verdict)}"


VERDICT_WORDS = {
    Verdict.SILENT: "correctly not raised",
    Verdict.FALSE_ALARM: "raised (false alarm)",
}


def sentences(one: Comparison) -> list[str]:
    """Return the remarks below a table."""
    left = one.example.tree.get("not_computed", {}).items()
    return [
        *reasons(one),
        *slips(one),
        *map(flag_text, one.flags),
        *(f"not computed: {name} ({why})" for name, why in left),
    ]


def summary(everything: tuple[Comparison, ...]) -> str:
    """Return the counts of figures and flags."""
    found = count_verdicts(everything)
    off = found[Verdict.DIFFERS] + found[Verdict.NO_SLIP]
    wrong = found[Verdict.NOT_RAISED] + found[Verdict.FALSE_ALARM]
    right = found[Verdict.RAISED] + found[Verdict.SILENT]
    many = f"{len(everything)} example{'s' * (len(everything) != 1)}"
    return (
        f"{many}. Figures: {found[Verdict.AGREES]} agree, "
        f"{found[Verdict.SLIP]} are slips in the sources, as the data show, "
        f"{off} differ. Flags: {right} correct, {wrong} wrong."
    )


def by_class(
    everything: tuple[Comparison, ...],
) -> Iterator[tuple[str, tuple[Comparison, ...]]]:
    """Yield each class of source that has examples, the surest first."""
    for name in SOURCE_CLASSES:
        group = tuple(one for one in everything if one.example.source_class == name)
        if group:
            yield name, group


def class_summaries(everything: tuple[Comparison, ...]) -> list[str]:
    """Return the counts of each class of source, in sentences."""
    return [
        f"{SOURCE_CLASSES[name]}: {summary(group)}"
        for name, group in by_class(everything)
    ]


def text(everything: tuple[Comparison, ...]) -> str:
    """Write the table for a terminal, 80 columns wide."""
    lines: list[str] = []
    for name, group in by_class(everything):
        lines += [SOURCE_CLASSES[name].upper(), ""]
        for one in group:
            lines += [*example_lines(one), ""]
    totals = [*class_summaries(everything), f"Total: {summary(everything)}"]
    return "\n".join([*lines, *(line for one in totals for line in wrap_text(one, ""))])


def example_lines(one: Comparison) -> Iterator[str]:
    """Yield the lines of one example for a terminal."""
    yield from wrap_text(f"{one.example.id}  {one.example.title}", "")
    yield from wrap_text(one.example.source, "  ")
    yield from align([HEADS, *map(cells, one.rows)])
    for said in sentences(one):
        yield from wrap_text(said, "  ")


def markdown(
    everything: tuple[Comparison, ...], software: Mapping[str, str] | None
) -> str:
    """
    Write a page that a laboratory prints and signs.

    Parameters
    ----------
    everything
        The examples, recomputed.
    software
        Name, version and fingerprint of what computed them; None leaves them out, so
        that the page changes only when a figure does.
    """
    lines = ["# Validation", "", *head(software), "", HOW_SORTED, ""]
    lines += [f"- {one}" for one in class_summaries(everything)]
    lines += ["", f"Total: {summary(everything)}"]
    for name, group in by_class(everything):
        lines += ["", f"## {SOURCE_CLASSES[name]}"]
        for one in group:
            lines += section(one)
    return "\n".join(lines) + "\n"


def section(one: Comparison) -> list[str]:
    """Return one example as a section of the page."""
    lines = ["", f"### {one.example.id}: {one.example.title}", ""]
    lines += [f"Source: {one.example.source}.", "", *table(one)]
    said = sentences(one) + [f"note: {note}" for note in one.example.notes]
    return lines + (["", *(f"- {sentence}" for sentence in said)] if said else [])


HOW_SORTED = (
    "The examples are sorted by their source, the surest first. A teaching exercise "
    "whose author is not known proves nothing by its name: its arithmetic can be "
    "followed by hand from the figures below."
)


MADE_BY = (
    "Published worked examples, recomputed. This page is generated by "
    "`buildsite validate --format markdown`, and a test keeps it current. The data of "
    "each example are in `buildsite/published/`."
)
HOW_TO_READ = (
    "A computed figure *agrees* if it differs from the published one by no more than "
    "the tolerance: half the last printed digit of its column, unless a reason for "
    "another tolerance is given below the table. For a peak read by eye off a drawn "
    "curve, the tolerance is the spread between readers' curves. A *slip* is a printed "
    "figure that does not follow from the example's own data: it lies outside the "
    "tolerance, and the figure that does follow from the data agrees. Compaction "
    "tests, molds and containers are computed as records, by the same code as a "
    "laboratory's own. Examples with impossible soil properties must raise the flags "
    "that a careful engineer would raise; sound examples close to the limits must not."
)
SIGNATURE = "Recomputed on ____________ by ____________  Assessed by ____________"


def head(software: Mapping[str, str] | None) -> list[str]:
    """Return what the page is, what computed it, and who signs it."""
    if software is None:
        return [MADE_BY, "", HOW_TO_READ]
    by = (
        f"Computed by {software['name']} {software['version']}, "
        f"fingerprint sha256:{software['fingerprint']}."
    )
    return [by, "", SIGNATURE, "", HOW_TO_READ]


def table(one: Comparison) -> Iterator[str]:
    """Return one example as a Markdown table."""
    yield "| " + " | ".join(HEADS) + " |"
    yield "| " + " | ".join("---:" if i in NUMBERS else "---" for i in range(6)) + " |"
    for row in one.rows:
        yield "| " + " | ".join(cells(row)) + " |"


def as_json(everything: tuple[Comparison, ...], software: Mapping[str, str]) -> str:
    """Write everything for a program."""
    tree = {
        "format": 1,
        "software": software,
        "counts": {
            str(verdict): n for verdict, n in count_verdicts(everything).items()
        },
        "counts_by_source": {
            name: {str(verdict): n for verdict, n in count_verdicts(group).items()}
            for name, group in by_class(everything)
        },
        "examples": [example_json(one) for one in everything],
    }
    return json.dumps(plain(tree), ensure_ascii=False, indent=2, sort_keys=True)


def example_json(one: Comparison) -> dict[str, Any]:
    """Return one example for a program."""
    return {
        "id": one.example.id,
        "title": one.example.title,
        "source": one.example.source,
        "source_class": one.example.source_class,
        "notes": one.example.notes,
        "figures": [*one.rows],
        "flags": [*one.flags],
    }
