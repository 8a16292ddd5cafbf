"""Differences between two states of tests, as text, Markdown and plain data."""

from collections.abc import Iterator, Sequence
from typing import Any

from buildsite.archive.causes import causes
from buildsite.archive.compared_states import ComparedState, Difference
from buildsite.archive.differences import NOT_STATED, FieldChange, ResultChange
from buildsite.archive.edits import Edit
from buildsite.archive.field_names import spoken
from buildsite.exports.result_json import flag_json
from buildsite.kinds.reporting import Spoken, in_points, result_text, unit_renamed
from buildsite.pages import follows_text
from buildsite.pages.causes_text import cause_lines
from buildsite.pages.terminal import align_columns
from buildsite.record.flags import Flag

INPUTS_CHANGED = "results unchanged; inputs changed"


def field_line(one: FieldChange, method: Spoken = None) -> str:
    """
    Return a changed field in words.

    >>> field_line(FieldChange("a.yaml", "mold_mass", "4.41", "4.40", "lb"))
    'mold mass: 4.41 lb → 4.40 lb'
    """
    old, new = (
        f"{text} {one.unit}".rstrip() if text else NOT_STATED
        for text in (one.old, one.new)
    )
    return f"{spoken(one.field, method, one.unit)}: {old} → {new}"


def result_row(one: ResultChange, method: Spoken) -> tuple[str, str, str, str]:
    """Return a changed result in columns: the standard's term, old, new, difference."""
    return (
        one.term(method),
        one.old or "none",
        f"→ {one.new or 'none'}",
        in_points(one.difference),
    )


def heading(one: Difference) -> str:
    """Return which states of which test, and what was issued of it."""
    issued = f"last issued as {one.test} {one.revision}" if one.revision else ""
    about = issued or "never issued"
    if one.assessed:
        about += f", assessed by {', '.join(one.assessed)}"
    return f"{one.test}: {one.old.label} → {one.new.label} ({about})"


def explanations(one: Difference) -> Iterator[tuple[str, list[str]]]:
    """Return why results could not be compared, or what explains a difference."""
    for side in (one.old, one.new):
        if side.why:
            yield f"Not computed: {side.label}", [side.why]
    if note := unit_renamed(texts(one.old), texts(one.new)):
        yield "Units", [note]
    if one.program:
        text = "Same values used: only the version of the program changed the result."
        yield "Program", [text]


def sections(one: Difference) -> Iterator[tuple[str, list[str]]]:
    """Return everything else that differs, by subject: the cause first."""
    yield from cause_section(one)
    yield from explanations(one)
    if one.fields:
        yield (
            f"Record {one.file}",
            [field_line(field, one.method) for field in one.fields],
        )
    for answer in one.answers:
        lines = [
            f"{name}: {old or NOT_STATED} → {new or NOT_STATED}"
            for name, old, new in answer.fields
        ]
        yield answer.of[:1].upper() + answer.of[1:], lines
    if one.came or one.went:
        yield "Flags", [*flag_lines("new", one.came), *flag_lines("cleared", one.went)]
    if one.verdict is not None and one.verdict.flipped:
        yield "Verdict", [one.verdict.words]
    if one.follows:
        yield (
            follows_text.heading(one.follows),
            [*follows_text.follow_lines(one.follows)],
        )
    if one.followers:
        yield "Tests affected if this is issued", [", ".join(one.followers)]


def cause_section(one: Difference) -> Iterator[tuple[str, list[str]]]:
    """Return the values that alone move the result, if several changed."""
    old, new = one.old.outcome, one.new.outcome
    if not one.results or old is None or new is None:
        return
    found = causes(old, new)
    if len(found) > 1 and any(cause.moves for cause in found):
        yield "Cause", [*cause_lines(found)]


def texts(one: ComparedState) -> dict[str, str]:
    """Return the results of a state as reported."""
    return {name: result.reported for name, result in one.results.items()}


def flag_lines(what: str, flags: Sequence[Flag]) -> Iterator[str]:
    """Return new or cleared flags, a line each."""
    for flag in flags:
        yield f"{what}: {flag.severity}: {flag.flag}: {flag.message}"


def text(differences: Sequence[Difference]) -> Iterator[str]:
    """Return differences as text; for several tests, a table of them first."""
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
            yield "  No difference."
        if one.results:
            yield "  Results"
            moved = [result_row(result, one.method) for result in one.results]
            yield from (f"  {line}" for line in align_columns(moved, [False] * 4))
        for title, lines in sections(one):
            yield f"  {title}"
            yield from (f"    {line}" for line in lines)


def rows(one: Difference) -> list[tuple[str, str, str, str, str]]:
    """Return a test's rows of a table: its id, its states, each changed result."""
    states = f"{one.old.label} → {one.new.label}"
    if not one.results:
        what = INPUTS_CHANGED if one.moved else "results unchanged"
        return [(one.test, states, what, "", "")]
    return [
        (one.test, states, name, f"{old} {new}", gap)
        for name, old, new, gap in (result_row(r, one.method) for r in one.results)
    ]


def markdown(differences: Sequence[Difference]) -> Iterator[str]:
    """Return differences as Markdown: a table, then what changed in each test."""
    yield "## Tests that change"
    yield ""
    if not differences:
        yield "No test changes."
        return
    yield "| test | issued | result | old | new | difference | tests affected |"
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
    """Return the rows of one test in the table of a pull request."""
    follow = ", ".join(one.followers) or "none"
    head = (one.test, one.revision or "no")
    if not one.results:
        yield (*head, INPUTS_CHANGED, "", "", "", follow)
    for moved in one.results:
        old, new = moved.old or "none", moved.new or "none"
        yield (
            *head,
            moved.term(one.method),
            old,
            new,
            in_points(moved.difference),
            follow,
        )


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
    """Return one difference as plain data."""
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
        "field_tests": [follows_text.follow_data(each) for each in one.follows],
        "verdict": (
            follows_text.follow_data(one.verdict)["verdict"] if one.verdict else None
        ),
        **results_data(one, one.method),
    }


def results_data(one: Difference | Edit, method: Spoken) -> dict[str, Any]:
    """Return the changed results and flags as plain data."""
    return {
        "results": [
            {
                "name": r.name,
                "term": r.term(method),
                "old": r.old,
                "new": r.new,
                "difference": r.difference,
            }
            for r in one.results
        ],
        "came": [flag_json(flag) for flag in one.came],
        "went": [flag_json(flag) for flag in one.went],
    }


def state_data(one: ComparedState) -> dict[str, Any]:
    """Return one state as plain data."""
    return {
        "state": one.label,
        "used": one.used or None,
        "results": {name: result_text(result) for name, result in one.results.items()},
        "why": one.why or None,
    }
