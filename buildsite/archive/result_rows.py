"""
The current result of each test as a row: of its last report, else of its record.

A number of an issued test is the one that was reported, unrounded as the kept result
has it. What was tested is told by the records as issued, where they can be had.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.field_tests import told_by
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import IssuedFiles, IssuedState, issued_state
from buildsite.archive.status_words import ISSUED_WORDS, STATUS_WORDS, UNREADABLE
from buildsite.exports.results import Figure, Raised, ResultRow
from buildsite.kinds import kind_named
from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.field_control.results import FieldTest
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import Spoken, reported_word
from buildsite.kinds.used import plain
from buildsite.record.flags import Flag, Severity


def raised(flags: Iterable[Flag]) -> tuple[Raised, ...]:
    """Return flags by name, each once."""
    found = (
        Raised(one.flag, str(one.severity), bool(one.accepted_by)) for one in flags
    )
    return tuple(dict.fromkeys(found))


def printed(result: Mapping[str, Any]) -> tuple[Raised, ...]:
    """Return the flags that a kept result has: those that its report prints."""
    found = (
        Raised(str(one["flag"]), str(one["severity"]), "accepted" in one)
        for one in result.get("flags") or ()
        if one["severity"] != Severity.NOTE
    )
    return tuple(dict.fromkeys(found))


def figure(name: str, told: Mapping[str, Any], reported: str, method: Spoken) -> Figure:
    """Return a result as reported, with its unrounded value if a result has it."""
    value = told.get("value")
    return Figure(
        name,
        float(value) if value is not None else None,
        str(told.get("unit", "")),
        reported,
        reported_word(method, name, reported),
    )


def in_table(result: Mapping[str, Any], made: Outcome | None) -> bool:
    """Whether a test is of a kind that has a row: a paper of the fill has none."""
    kind = made.kind if made is not None else kind_named(str(result.get("kind", "")))
    return kind is None or bool(kind.reports)


def row_about(file: str, result: Mapping[str, Any], made: Outcome | None) -> ResultRow:
    """Return a row with what was tested, how and where, as a result tells it."""
    standard, soil = result.get("standard") or {}, result.get("soil") or {}
    told = told_by(result, file)
    field = told if isinstance(told, FieldTest) else None
    sample = str(result.get("sample") or "")
    facts = made.case.inputs.get(SampleFacts, sample) if made is not None else None
    return ResultRow(
        id=name_of(file),
        revision=None,
        status=STATUS_WORDS[made.status if made is not None else UNREADABLE],
        kind=str(result.get("kind") or ""),
        project=file.split("/")[1],
        tested=day(result.get("tested")),
        sample=sample,
        soil=str(soil.get("name", "")),
        soil_class=str(soil.get("class", "")),
        source=facts.soil_source if facts is not None else "",
        zone=field.zone if field is not None else "",
        lift=field.lift if field is not None else "",
        standard=str(standard.get("designation", "")),
        edition=str(standard.get("edition", "")),
        method=str(standard.get("method", "")),
        governing=tuple(result.get("governing") or ()),
        verdict=field.verdict if field is not None else "",
        judged_by=field.judged_by if field is not None else "",
        address=f"tests/{name_of(file)}/index.html",
    )


def day(text: Any) -> date | None:
    """Return a day as told; None where it is not."""
    return date.fromisoformat(str(text)) if text else None


def told_of(made: Outcome) -> Mapping[str, Any]:
    """Return what an outcome tells, as a kept result has it."""
    about = {"kind": made.kind.name, "results": made.results, **made.detail()}
    if made.governing:
        about["governing"] = made.governing
    told: Mapping[str, Any] = plain(about)
    return told


Told = tuple[ResultRow, Mapping[str, Any]]
"""A row, and the result that it was made of: as kept, else as told by the record."""


def told_of_record(archive: Archive, file: str, made: Outcome | None) -> Told | None:
    """Return the row of a test that was not issued; None for a paper."""
    result = told_of(made) if made is not None else {}
    if not in_table(result, made):
        return None
    row = replace(row_about(file, result, made), flags=raised(archive.flags(file)))
    if made is None or made.status == "withdrawn":
        return replace(row, governing=(), verdict=""), {}
    results = tuple(
        figure(name, one, one["reported"], made.case.method)
        for name, one in result["results"].items()
    )
    return replace(row, results=results), result


def told_of_report(
    archive: Archive, state: IssuedState, *, release: bool
) -> Told | None:
    """
    Return the row of an issued test; None for a paper.

    For clients (`release`) with the flags that its report prints.
    """
    item, file, result = state.item, state.file, state.result
    made = state.outcome
    if made is None and state.archive is not None:
        made = state.archive.outcome(file)
    if not in_table(result, made):
        return None
    old = "project" not in result  # as kept before a result said what it is of
    whole = {**(told_of(made) if made is not None and old else {}), **result}
    row = row_about(file, whole, made)
    told, gone = result.get("results") or {}, item.kind == "withdrawal"
    results = tuple(
        figure(name, told.get(name) or {}, text, state.method)
        for name, text in item.results.items()
    )
    row = replace(
        row,
        revision=item.revision,
        status=ISSUED_WORDS[item.kind],
        issued=item.issued_on,
        results=() if gone else results,
        governing=() if gone else row.governing,
        verdict="" if gone else row.verdict,
        flags=printed(result) if release else raised(archive.flags(file)),
    )
    return row, {} if gone else whole


def row_of_record(
    archive: Archive, file: str, made: Outcome | None
) -> ResultRow | None:
    """Return the row of a test that was not issued; None for a paper."""
    told = told_of_record(archive, file, made)
    return told[0] if told is not None else None


def row_of_report(
    archive: Archive, state: IssuedState, *, release: bool
) -> ResultRow | None:
    """Return the row of an issued test; None for a paper."""
    told = told_of_report(archive, state, release=release)
    return told[0] if told is not None else None


def results_told(
    archive: Archive,
    issued_files: IssuedFiles,
    tests: Collection[str] | None = None,
) -> Iterator[Told]:
    """
    Return the row of each test, with the result it is made of.

    For clients, `tests` are the ids of those released: only what was issued.
    """
    for file in archive.files("test"):
        release = tests is not None
        if not archive.has_page(file) or (
            tests is not None and name_of(file) not in tests
        ):
            continue
        state = issued_state(archive, file, issued_files)
        told = (
            told_of_report(archive, state, release=release)
            if state is not None
            else told_of_record(archive, file, archive.outcome(file))
        )
        if told is not None:
            yield told
