"""
Any two tests of the site beside each other: `compare/`, drawn by the script.

Every pair would be half of the tests squared, so the address names two (`?a=…&b=…`),
and each test's curve is a script of its own. Without a script the pairs of one sample
stand in tables, with their differences.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, islice
from urllib.parse import urlencode

from buildsite.kinds.sheet import Cell, DrawnCurve, Note, Row, Table
from buildsite.pages.figure.read_off import compact, rounded
from buildsite.pages.indexes.curves import named_curve
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.page import File, Head, Pairs
from buildsite.pages.revisions.edit_words import changed_result
from buildsite.pages.rows import Row as Test
from buildsite.pages.tables import columns, link_cell, table_row
from buildsite.record.units import from_si, unit

PAGE = "compare/index.html"

IDS = "compare/tests.js"
"""The tests that can be compared: an id is matched with them as it is typed."""

MOST_OF_A_SAMPLE = 6
"""Tests of a sample that are compared with each other, the latest."""

MOST_LISTED = 100
"""Pairs on the page itself; each is on the page of its sample too."""


def two_tests_pages(context: IndexContext) -> Iterator[File]:
    """Return the page; nothing without two curves."""
    curves = comparable(context.rows)
    if not curves:
        return
    yield IDS, f"comparedTests({compact([row.id for row in curves])});\n".encode()
    pairs = list(islice(pairs_of_samples(curves), MOST_LISTED))
    blocks: list[Table | Note] = [instructions(listed=bool(pairs))]
    if pairs:
        shown = context.lists.among([test for pair in pairs for test in pair])
        listed = list(zip(shown[::2], shown[1::2], strict=True))
        blocks.append(pair_table(listed, samples=True))
    subtitle = "Curves and results of any two tests, side by side"
    head = Head("Compare", "Two tests", subtitle)
    yield context.page(PAGE, head, blocks)


def any_two(rows: Iterable[Test]) -> bool:
    """Whether any two tests have curves to be set beside each other."""
    curves = (row for row in rows if row.stands)
    return next(islice(curves, 1, None), None) is not None


def curve_scripts(context: IndexContext, sample: str) -> Iterator[File]:
    """Return the script of each curve of a sample's tests."""
    for row in context.tests("sample", sample):
        if row.stands and row.curve is not None:
            yield f"tests/{row.id}/curve-data.js", curve_script(row, row.curve)


def comparable(rows: Iterable[Test]) -> list[Test]:
    """Return the tests with curves to be set beside each other, by id; none, if one."""
    curves = sorted((row for row in rows if row.stands), key=lambda row: row.id)
    return curves if len(curves) > 1 else []


def instructions(*, listed: bool) -> Note:
    """Return what the page needs; the script adds the form, results and figure."""
    text = (
        "Results, differences and curves of any two compaction tests, drawn in the "
        "browser: this needs JavaScript."
    )
    if listed:
        text += " Without it, the table below compares the tests of each sample."
    return Note("two-tests", "Two tests", (text,), role="two-tests")


def curve_script(row: Test, curve: DrawnCurve) -> bytes:
    """Return what the page is told of one test: its curve in SI, and its results."""
    words, named = dict(row.words), named_curve(row, curve)
    name = curve.unit or "kg/m3"
    told = {
        "id": row.id,
        "name": named.name,
        "made": named.made,
        "pair": named.pair,
        "soil": ", ".join(filter(None, (row.sample, row.soil_class))),
        "unit": unit(name).shown,
        "si": from_si(1.0, name),
        "axes": row.axes,
        "line": [[rounded(w), rounded(dry)] for w, dry in curve.way],
        "peak": list(map(rounded, curve.peak)) if curve.peak is not None else None,
        "results": [[key, words.get(key, key), text] for key, text in row.results],
    }
    if curve.corrected and curve.governing is not None:
        told["whole"] = list(map(rounded, curve.governing))
    return f"comparedCurve({compact(told)});\n".encode()


def pairs_of_samples(tests: Iterable[Test]) -> Iterator[tuple[Test, Test]]:
    """Yield the pairs of each sample, the earlier test first; the latest first."""
    samples: dict[tuple[str, str], list[Test]] = {}
    for test in sorted(tests, key=lambda test: test.newest_first):
        if test.sample:
            samples.setdefault((test.project, test.sample), []).append(test)
    for found in samples.values():
        for later, earlier in combinations(found[:MOST_OF_A_SAMPLE], 2):
            yield earlier, later


def pair_link(tests: Sequence[Test]) -> Pairs:
    """
    Return the link of a project or soil class to the page that compares its tests.

    It names the latest two of one sample, else the latest two; none if there is one.
    """
    found = sorted(
        (test for test in tests if test.stands), key=lambda test: test.newest_first
    )
    if len(found) < 2:
        return ()
    one, other = next(pairs_of_samples(found), (found[1], found[0]))
    asked = urlencode({"a": one.id, "b": other.id})
    return (("Compare two tests", f"../../{PAGE}?{asked}"),)


def pair_tables(tests: Sequence[Test]) -> list[Table]:
    """Return the pairs of one sample as a table, if there are any."""
    pairs = list(pairs_of_samples(test for test in tests if test.stands))
    return [pair_table(pairs, samples=False)] if pairs else []


def pair_table(pairs: Sequence[tuple[Test, Test]], *, samples: bool) -> Table:
    """Return pairs of tests with their governing results, from one to the other."""
    heads = ["Tests", "Sample", "Standards", "Maximum density", "Optimum water content"]
    heads = [one for one in heads if samples or one != "Sample"]
    rows = tuple(pair_row(*pair, samples=samples) for pair in pairs)
    title = "Tests of one sample compared"
    return Table("pairs", title, columns(*heads), rows, role="more")


def pair_row(one: Test, other: Test, *, samples: bool) -> Row:
    """Return one pair."""
    ids = f"{one.id} → {other.id}"
    standards = dict.fromkeys(f"{test.standard} {test.method}" for test in (one, other))
    cells = [
        Cell(ids, ("pair", f"{one.id}&b={other.id}")),
        *([link_cell("sample", other.sample)] if samples else []),
        " → ".join(standards),
        changed_result(*(density_of(test) for test in (one, other))),
        changed_result(*(water_of(test) for test in (one, other))),
    ]
    return table_row(*cells)


def density_of(test: Test) -> str:
    """Return the governing maximum of a test, as reported."""
    curve = test.curve
    return f"{curve.maximum} {curve.unit}" if curve and curve.maximum else ""


def water_of(test: Test) -> str:
    """Return the governing optimum of a test, as reported."""
    curve = test.curve
    return f"{curve.optimum} %" if curve and curve.optimum else ""
