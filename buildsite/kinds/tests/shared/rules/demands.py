"""Checks of the laboratory's own demands, and of references to other documents."""

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import TypeAlias

from buildsite.kinds.tests.shared.completeness import (
    is_complete,
    laboratory_of,
    sample_of,
)
from buildsite.kinds.tests.shared.record import AnyTest, RecordOfWork
from buildsite.record.flags import Doubt, Field, Rule, Severity, note, warning
from buildsite.record.shape import names_at
from buildsite.standards.cells import UNCHECKED

AtLines: TypeAlias = Mapping[str, Callable[[AnyTest], Iterator[Field]]]
"""Demands met line by line: the name, and the places where one is not met."""

WHOLE = {
    "dried": ("on", "by"),
    "entered": ("by", "checked_by"),
    "oven": ("in", "out", "temperature_c"),
    "prepared": ("on", "by"),
    "rammer": ("operation", "face"),
}
"""Demanded fields with parts: each part is required."""


def part_of(node: object, name: str) -> object:
    """Return the field of that name in a record; None where it is missing."""
    return getattr(node, "in_" if name == "in" else name, None)


@cache
def has_field(model: type[RecordOfWork], path: tuple[str, ...]) -> bool:
    """Whether records of a kind have a field; a demand may be for other kinds only."""
    return all(name in names_at(model, path[:depth]) for depth, name in enumerate(path))


def missing_fields(record: RecordOfWork, name: str) -> Iterator[Field]:
    """Return the fields under a demanded name that the test lacks."""
    path = tuple(name.split("."))
    if not has_field(type(record), path):
        return
    node: object = record
    for part in path:
        node = part_of(node, part)
    if node is None:
        yield path
        return
    for part in WHOLE.get(name, ()):
        if part_of(node, part) is None:
            yield (*path, part)


def demands_of(at_lines: AtLines) -> Callable[[AnyTest], Iterator[Doubt]]:
    """Return the check of the laboratory's demands, some of them line by line."""

    def missing(case: AnyTest) -> Iterator[Doubt]:
        lab, record = laboratory_of(case), case.record
        # Another laboratory's work is not done by our procedures.
        if lab is None or record.external is not None or record.status == "withdrawn":
            return
        for name in lab.demands:
            lines = at_lines.get(name)
            found = lines(case) if lines is not None else missing_fields(record, name)
            for field in found:
                yield Doubt(
                    field=field,
                    found="not stated",
                    expected="the laboratory's procedures require it (demands in "
                    "lab.yaml)",
                    mend="enter it from the bench sheet; if it was not recorded then, "
                    "state that when you accept this flag",
                    severity=None if is_complete(case) else Severity.NOTE,
                )

    missing.__doc__ = "The test lacks a field that the laboratory's procedures demand."
    return missing


@note("computed-alone", "common practice")
def computed_alone(case: AnyTest) -> Iterator[Doubt]:
    """The record was computed by itself, without the records it refers to."""
    if case.inputs.alone:
        yield Doubt(
            field=(),
            found="a record by itself",
            expected="a record in its archive",
            mend="enter what it needs in the record, such as mold_volume or "
            "specific_gravity",
        )


@warning(
    "sample-of-another-project",
    f"ISO/IEC 17025:2017, 7.4.2 ({UNCHECKED}): items are not confused",
)
def sample_of_another_project(case: AnyTest) -> Iterator[Doubt]:
    """The sample is of another project than the test."""
    sample = sample_of(case)
    if sample is not None and sample.project != case.record.project:
        yield Doubt(
            field=("sample",),
            found=f"{sample.id}, of another project",  # a report may print this
            expected=f"a sample of {case.record.project}",
            mend=f"check the sample's number; this one is of project {sample.project}",
        )


@warning(
    "external-without-report",
    "ISO/IEC 17025:2017, 7.8.2.1: results from others are marked as theirs",
)
def external_without_report(case: AnyTest) -> Iterator[Doubt]:
    """The report number of another laboratory's work is not stated."""
    other = case.record.external
    if other is not None and other.report is None:
        yield Doubt(
            field=("external", "report"),
            found=f"no report number from {other.laboratory}",
            expected="the number of that laboratory's report",
            mend="obtain the report, file it and enter its number",
        )


@note(
    "bench-sheet-without-digest",
    "ISO/IEC 17025:2017, 7.5.2: the first observation is kept",
)
def bench_sheet_without_digest(case: AnyTest) -> Iterator[Doubt]:
    """The bench sheet has no digest: an exchanged file would go unnoticed."""
    sheet = case.record.bench_sheet
    if sheet is not None and sheet.sha256 is None:
        yield Doubt(
            field=("bench_sheet", "sha256"),
            found=f"{sheet.file} without a digest",
            expected="the SHA-256 of the file",
            mend="enter what `sha256sum` prints for it",
        )


def rules_of(at_lines: AtLines) -> tuple[Rule[AnyTest], ...]:
    """Return these checks for a kind; `at_lines`: its demands met line by line."""
    return (
        Rule(
            "demanded-field-missing",
            Severity.WARNING,
            "the laboratory's procedures: demands",
            demands_of(at_lines),
        ),
        *TIES,
    )


TIES: tuple[Rule[AnyTest], ...] = (
    computed_alone,
    sample_of_another_project,
    external_without_report,
    bench_sheet_without_digest,
)
