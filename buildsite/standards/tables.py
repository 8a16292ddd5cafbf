"""
The standards on file, their editions, methods and variants.

No standard is named here. What differs between them is in the YAML files: another
standard, edition or agency's variant is rows, not code.
"""

from collections.abc import Mapping
from dataclasses import field
from functools import cache
from typing import Any

from buildsite.standards.cells import Cell, CellRows, cell_from, list_at, text_at
from buildsite.standards.method import Method
from buildsite.standards.reading import closest, key, read, stem_of, stems
from buildsite.values import dataclass


@cache
def limit(name: str) -> Cell:
    """
    Find one limit of equipment by its name.

    >>> str(limit("oven_off"))
    '5 °C'
    """
    return cell_from(name, read("apparatus")["cells"][name])


@dataclass(frozen=True)
class Edition:
    """One edition of a standard on file."""

    edition: str
    year: int
    superseded_by: str
    source: str
    status: str
    lays: tuple[str, ...] = ()


@dataclass(frozen=True)
class Standard:
    """One publication: its words, its editions, its methods."""

    designation: str
    title: str
    test: str
    method_when_none_named: Cell
    editions: tuple[Edition, ...]
    words: Mapping[str, Cell]
    methods: tuple[str, ...]
    raw: Mapping[str, Any] = field(repr=False, compare=False)

    def edition(self, name: str) -> Edition | None:
        """Find an edition however it is spelled: `-12e2`, `2012`, `12 (2021)`."""
        wanted = name.replace(" ", "").rpartition("-")[2].lower()
        short = wanted[2:] if len(wanted) == 4 and wanted.isdigit() else wanted
        by_name = {known.edition.lower(): known for known in self.editions}
        return by_name.get(wanted) or by_name.get(short)

    def is_superseded(self, edition: str, year: int | None = None) -> Edition | None:
        """
        Return the edition that superseded this one, by `year` or by now.

        An edition not on file is not an error: it may be newer than the list.
        """
        found = self.edition(edition)
        newer = None
        while found is not None and found.superseded_by:
            found = self.edition(found.superseded_by)
            if found is None or (year is not None and found.year > year):
                break
            newer = found
        return newer


def designations(test: str = "") -> tuple[str, ...]:
    """Return every standard on file, as printed; or those of one test."""
    return tuple(sorted(stems(test).values()))


def nearest(designation: str, test: str = "") -> str | None:
    """Return the designation on file most like this one, for a message."""
    return closest(designation, list(designations(test)))


@cache
def standard(designation: str) -> Standard | None:
    """Return a standard by its designation, ignoring spaces and case."""
    stem = stem_of(designation)
    if stem is None:
        return None
    raw = read(stem)
    return Standard(
        designation=raw["designation"],
        title=raw["title"],
        test=raw["test"],
        method_when_none_named=cell_from("method", raw["method_when_none_named"]),
        editions=tuple(_edition(row) for row in raw.get("editions", ())),
        words=CellRows(raw["words"]),
        methods=tuple(raw["methods"]),
        raw=raw,
    )


@cache
def find(
    designation: str, method: str, variant: str = "none", edition: str = ""
) -> Method | None:
    """
    Return a method, with the changes of its edition and then of its variant.

    None for a standard, method or variant not on file; `unknown` gives which. An
    edition without its own rows changes nothing.
    """
    known = standard(designation)
    if known is None or method not in known.methods:
        return None
    over = _variant(known.designation, method, variant)
    if over is None:
        return None
    dated = known.edition(edition)
    cells, report = _rows(known.raw, method, dated.lays if dated else ())
    report |= over["report"]
    return Method(
        designation=known.designation,
        name=method,
        variant=variant,
        edition=edition,
        title=known.title,
        cells=CellRows(cells | over["cells"]),
        reporting={at: cell_from(f"report_{at[0]}", row) for at, row in report.items()},
        words={name: cell.value for name, cell in known.words.items()},
        report_items=tuple(
            cell_from("report_item", row) for row in known.raw.get("report_items", ())
        ),
    )


def _rows(
    raw: Mapping[str, Any], method: str, overlays: tuple[str, ...]
) -> tuple[dict[str, Any], dict[tuple[str, str], Any]]:
    """Merge the standard's own rows; of all, parts, method, edition the last counts."""
    own = raw["methods"][method]
    cells = dict(raw["cells"])
    for part in list_at(own, "takes"):
        cells |= raw["parts"][part]
    cells |= own.get("cells", {})
    report = _flat(raw["report"]) | _flat(own.get("report", {}))
    for name in overlays:
        cells |= raw["overlays"][name].get(method, {})
        report |= _flat(raw["overlays"][name].get("report", {}))
    return cells, report


def unknown(
    designation: str, method: str, variant: str = "none", test: str = ""
) -> tuple[str, str] | None:
    """
    Return why `find` finds nothing: the field at fault, and what is on file.

    A standard of a test other than `test` counts as none.

    >>> unknown("AASHTO T 181", "A", test="compaction")
    ('designation', 'AASHTO T 180')
    >>> unknown("ASTM D698", "D")
    ('method', 'A, B, C')
    """
    known = standard(designation)
    if known is None or test not in ("", known.test):
        near = nearest(designation, test)
        return "designation", near or ", ".join(designations(test))
    if method not in known.methods:
        return "method", ", ".join(known.methods)
    if find(designation, method, variant) is None:
        names = ("none", *variants(designation, method))
        return "variant", closest(variant, list(names)) or ", ".join(names)
    return None


def variants(designation: str, method: str = "") -> tuple[str, ...]:
    """Return the variants of a standard, or of one method."""
    known = standard(designation)
    if known is None:
        return ()
    return tuple(
        name
        for name, row in read("variants")["variants"].items()
        if any(
            known.designation in over["standards"] and method in ("", *over["methods"])
            for over in row["lays_over"]
        )
    )


def _variant(designation: str, method: str, variant: str) -> dict[str, Any] | None:
    """Return the cells a variant lays over a method; `None` where it has none."""
    over: dict[str, Any] = {"cells": {}, "report": {}}
    if variant == "none":
        return over
    rows = read("variants")["variants"]
    parts = next((rows[n]["lays_over"] for n in rows if key(n) == key(variant)), ())
    mine = [
        part
        for part in parts
        if designation in part["standards"] and method in part["methods"]
    ]
    for part in mine:
        over["cells"] |= part.get("cells", {})
        over["report"] |= _flat(part.get("report", {}))
    return over if mine else None


def _flat(report: Mapping[str, Any]) -> dict[tuple[str, str], Any]:
    """Turn quantity → unit → row into (quantity, unit) → row."""
    return {
        (quantity, unit): row
        for quantity, by_unit in report.items()
        for unit, row in by_unit.items()
    }


def _edition(row: Mapping[str, Any]) -> Edition:
    return Edition(
        edition=text_at(row, "edition"),
        year=int(row["year"]),
        superseded_by=text_at(row, "superseded_by"),
        source=text_at(row, "source"),
        status=text_at(row, "status"),
        lays=tuple(list_at(row, "lays")),
    )
