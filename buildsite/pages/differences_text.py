"""Differences between states of tests, for a terminal, a pull request, a program."""

from collections.abc import Iterator, Sequence
from typing import Any

from buildsite.archive.compared_states import ComparedState, Difference
from buildsite.archive.differences import FieldChange, ResultChange
from buildsite.archive.edits import Edit
from buildsite.archive.field_names import spoken
from buildsite.exports.result_json import flag_json
from buildsite.kinds.reporting import result_name, result_text, unit_renamed
from buildsite.pages.terminal import align_columns
from buildsite.record.flags import Flag

NOTHING = "nothing"


def field_line(one: FieldChange) -> str:
    """
    Say a field that differs.

    >>> field_line(FieldChange("a.yaml", "mold_mass", "4.41", "4.40", "lb"))
    'mold mass: 4.41 lb → 4.40 lb'
    """
    old, new = (
        f"{text} {one.unit}".rstrip() if text else NOTHING
        for text in (one.old, one.new)
    )
    return f"{spoken(one.field)}: {old} → {new}"


def result_row(one: ResultChange) -> tuple[str, str, str, str]:
    """Set a result that differs in columns: name, old, new, difference."""
    return (
        result_name(one.name),
        one.old or "none",
        f"→ {one.new or 'none'}",
        one.difference,
    )


def heading(one: Difference) -> str:
    """Say which states of which test, and what was issued of it."""
    issued = f"last issued as {one.test} {one.revision}" if one.revision else ""
    about = issued or "never issued"
    if one.assessed:
        about += f", assessed by {', '.join(one.assessed)}"
    return f"{one.test}: {one.old.label} → {one.new.label} ({about})"


def explanations(one: Difference) -> Iterator[tuple[str, list[str]]]:
    """What keeps the results of two states from being compared, or explains it."""
    for side in (one.old, one.new):
        if side.why:
            yield f"Not computed: {side.label}", [side.why]
    if note := unit_renamed(texts(one.old), texts(one.new)):
        yield "Units", [note]
    if one.program:
        text = "The same values give another result: the program alone moved it."
        yield "Program", [text]


def sections(one: Difference) -> Iterator[tuple[str, list[str]]]:
    """Everything that differs, by subject; results apart."""
    yield from explanations(one)
    if one.fields:
        yield f"Record {one.file}", [field_line(field) for field in one.fields]
    for answer in one.answers:
        lines = [
            f"{name}: {old or NOTHING} → {new or NOTHING}"
            for name, old, new in answer.fields
        ]
        yield answer.of[:1].upper() + answer.of[1:], lines
    if one.came or one.went:
        yield "Flags", [*flag_lines("came", one.came), *flag_lines("went", one.went)]
    if one.followers:
        yield "Would follow if this were issued", [", ".join(one.followers)]


def texts(one: ComparedState) -> dict[str, str]:
    """Results of a state as it reports them."""
    return {name: result.reported for name, result in one.results.items()}


def flag_lines(what: str, flags: Sequence[Flag]) -> Iterator[str]:
    """Flags that came or went, a line each."""
    for flag in flags:
        yield f"{what}: {flag.severity}: {flag.flag}: {flag.message}"


def text(differences: Sequence[Difference]) -> Iterator[str]:
    """Write differences for a terminal; of several tests, a table of them first."""
    if len(differences) > 1:
        yield from align_columns(
            [row for one in differences for row in rows(one)], [False] * 5
        )
        yield ""
    for index, one in enumerate(differences):
        if index:
            yield ""
        yield heading(one)
        if not one.differs:
            yield "  Nothing differs."
        if one.results:
            yield "  Results"
            moved = [result_row(result) for result in one.results]
            yield from (f"  {line}" for line in align_columns(moved, [False] * 4))
        for title, lines in sections(one):
            yield f"  {title}"
            yield from (f"    {line}" for line in lines)


def rows(one: Difference) -> list[tuple[str, str, str, str, str]]:
    """Set one test in a table: its id, its states, and each result that differs."""
    states = f"{one.old.label} → {one.new.label}"
    if not one.results:
        what = "same results, other values" if one.moved else "same results"
        return [(one.test, states, what, "", "")]
    return [
        (one.test, states, name, f"{old} {new}", gap)
        for name, old, new, gap in map(result_row, one.results)
    ]


def markdown(differences: Sequence[Difference]) -> Iterator[str]:
    """Write differences for a pull request: a table, then what moved each test."""
    yield "## Tests that move"
    yield ""
    if not differences:
        yield "No test moves."
        return
    yield "| test | issued | result | old | new | difference | follow |"
    yield "|---|---|---|---|---|---|---|"
    for one in differences:
        for cells in cells_of(one):
            yield f"| {' | '.join(map(escaped, cells))} |"
    for one in differences:
        yield from ("", f"### {escaped(heading(one))}", "")
        for title, lines in sections(one):
            yield f"- {escaped(title)}"
            yield from (f"  - {escaped(line)}" for line in lines)


def cells_of(one: Difference) -> Iterator[tuple[str, ...]]:
    """Rows of one test in the table of a pull request."""
    follow = ", ".join(one.followers) or "none"
    head = (one.test, one.revision or "no")
    if not one.results:
        yield (*head, "same results, other values", "", "", "", follow)
    for moved in one.results:
        old, new = moved.old or "none", moved.new or "none"
        yield (*head, result_name(moved.name), old, new, moved.difference, follow)


def escaped(text: str) -> str:
    r"""
    Keep a text from being read as Markdown or HTML.

    >>> escaped("a|b <c>")
    'a\\|b &lt;c&gt;'
    """
    for sign in "\\|*_`[]":
        text = text.replace(sign, f"\\{sign}")
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def data(one: Difference) -> dict[str, Any]:
    """Write one difference as plain data."""
    return {
        "test": one.test,
        "file": one.file,
        "from": state_data(one.old),
        "to": state_data(one.new),
        "issued": one.revision or None,
        "assessed": list(one.assessed),
        "moved": one.moved,
        "program": one.program,
        "fields": [
            {"field": f.field, "old": f.old, "new": f.new, "unit": f.unit}
            for f in one.fields
        ],
        "answers": [
            {
                "of": answer.of,
                "fields": [
                    {"field": name, "old": old, "new": new}
                    for name, old, new in answer.fields
                ],
            }
            for answer in one.answers
        ],
        "followers": list(one.followers),
        **results_data(one),
    }


def results_data(one: Difference | Edit) -> dict[str, Any]:
    """Write as plain data which results moved, and which flags came and went."""
    return {
        "results": [
            {"name": r.name, "old": r.old, "new": r.new, "difference": r.difference}
            for r in one.results
        ],
        "came": [flag_json(flag) for flag in one.came],
        "went": [flag_json(flag) for flag in one.went],
    }


def state_data(one: ComparedState) -> dict[str, Any]:
    """Write one state as plain data."""
    return {
        "state": one.label,
        "used": one.used or None,
        "results": {name: result_text(result) for name, result in one.results.items()},
        "why": one.why or None,
    }
