"""What an amended report marks: changed results and points, beside what they were."""

from collections.abc import Mapping
from dataclasses import replace

from buildsite.archive.amendments import Amendment
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import readable_text, result_word, same_figure
from buildsite.kinds.sheet import Cell, Note, Row, Table


def result_name(outcome: Outcome, name: str) -> str:
    """Return the standard's term for a result."""
    result = outcome.results.get(name)
    unit_name = result.reported.partition(" ")[2] if result is not None else ""
    return result_word(outcome.case.method, name, unit_name)


def mark_changes(
    block: Table | Note, amends: Amendment, outcome: Outcome
) -> Table | Note:
    """Return a block with changes since the earlier report marked."""
    if not isinstance(block, Table):
        return block
    if block.role in ("results", "lesser"):
        was = changed_results(amends.item.results, outcome)
        rows = tuple(
            add_earlier_text(row, was, amends.item.revision) for row in block.rows
        )
        gone = sorted(set(amends.item.results) - outcome.results.keys())
        lost = [f"{result_name(outcome, name)} {was[name]}" for name in gone]
        told = lost and block.role == "results"
        note = f"No longer reported: {', '.join(lost)}." if told else ""
        return replace(block, rows=rows, note=f"{block.note} {note}".strip())
    if block.role == "points":
        rows = tuple(
            replace(row, mark="changed")
            if row.point in amends.points and not row.mark
            else row
            for row in block.rows
        )
        return replace(block, rows=rows)
    return block


def changed_results(old: Mapping[str, str], outcome: Outcome) -> dict[str, str]:
    """Return the changed results: name, and the text before."""
    now = {name: one.reported for name, one in outcome.results.items()}
    names = sorted(old.keys() | now.keys())
    return {
        name: readable_text(old[name]) if name in old else "not reported"
        for name in names
        if not same_figure(old.get(name, ""), now.get(name, ""))
    }


def add_earlier_text(row: Row, was: Mapping[str, str], revision: int) -> Row:
    """Return a row of results with the earlier text, if it differs."""
    if row.mark not in was:
        return row
    text = f"Changed: {was[row.mark]} in r{revision}"
    return replace(row, cells=(*row.cells, Cell(text)))
