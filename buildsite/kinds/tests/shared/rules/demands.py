"""What the laboratory's procedures demand, and what ties a test to other papers."""

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import TypeAlias

from buildsite.kinds.tests.shared.completeness import (
    is_complete,
    laboratory_of,
    sample_of,
)
from buildsite.kinds.tests.shared.record import AnyTest, RecordOfTest
from buildsite.record.flags import Doubt, Field, Rule, Severity, note, warning
from buildsite.record.shape import names_at

AtLines: TypeAlias = Mapping[str, Callable[[AnyTest], Iterator[Field]]]
"""Demands that are met line by line: the name, and the places where one is not."""

WHOLE = {
    "dried": ("on", "by"),
    "entered": ("by", "checked_by"),
    "oven": ("in", "out", "temperature_c"),
    "prepared": ("on", "by"),
    "rammer": ("operation", "face"),
}
"""Demanded fields that have parts: each part is wanted."""


def part_of(node: object, name: str) -> object:
    """Look a field up by the name a record gives it; nothing below nothing."""
    return getattr(node, "in_" if name == "in" else name, None)


@cache
def has_field(model: type[RecordOfTest], path: tuple[str, ...]) -> bool:
    """Whether records of a kind have a field; a demand may be of other kinds alone."""
    return all(name in names_at(model, path[:depth]) for depth, name in enumerate(path))


def missing_fields(record: RecordOfTest, name: str) -> Iterator[Field]:
    """Fields under a demanded name that the test does not have."""
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
    """Make the check of what the laboratory demands, some of it line by line."""

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
                    found="nothing",
                    expected=f"{name}, which procedures.demands in lab.yaml asks for",
                    mend="look at the bench sheet; what was not written down then "
                    "stays unknown: say so when you accept this",
                    severity=None if is_complete(case) else Severity.NOTE,
                )

    missing.__doc__ = (
        "A field that the laboratory's procedures demand, and the test does not have."
    )
    return missing


@note("computed-alone", "common practice")
def computed_alone(case: AnyTest) -> Iterator[Doubt]:
    """A record computed by itself: what it names was not looked up."""
    if case.inputs.alone:
        yield Doubt(
            field=(),
            found="a record by itself",
            expected="a record in its archive",
            mend="state what it needs in it, such as mold_volume or specific_gravity",
        )


@warning(
    "sample-of-another-project",
    "ISO/IEC 17025:2017, 7.4.2 (from memory): items are not confused",
)
def sample_of_another_project(case: AnyTest) -> Iterator[Doubt]:
    """A sample that belongs to another project than the test."""
    sample = sample_of(case)
    if sample is not None and sample.project != case.record.project:
        yield Doubt(
            field=("sample",),
            found=f"{sample.id}, of another project",  # a report may print this
            expected=f"a sample of {case.record.project}",
            mend="look for a slip in the sample's number, which is of project "
            f"{sample.project}",
        )


@warning(
    "external-without-report",
    "ISO/IEC 17025:2017, 7.8.2.1: results from others are marked as theirs",
)
def external_without_report(case: AnyTest) -> Iterator[Doubt]:
    """Another laboratory's work without the number of its report."""
    other = case.record.external
    if other is not None and other.report is None:
        yield Doubt(
            field=("external", "report"),
            found=f"nothing from {other.laboratory}",
            expected="the number of that laboratory's report",
            mend="ask for the report and file it",
        )


@note(
    "bench-sheet-without-digest",
    "ISO/IEC 17025:2017, 7.5.2: the first observation is kept",
)
def bench_sheet_without_digest(case: AnyTest) -> Iterator[Doubt]:
    """A bench sheet that could be exchanged unnoticed: its digest is not written."""
    sheet = case.record.bench_sheet
    if sheet is not None and sheet.sha256 is None:
        yield Doubt(
            field=("bench_sheet", "sha256"),
            found=f"{sheet.file} without a digest",
            expected="the SHA-256 of the file",
            mend="write what `sha256sum` prints for it",
        )


def rules_of(at_lines: AtLines) -> tuple[Rule[AnyTest], ...]:
    """Make these checks for a kind; `at_lines` are its demands met line by line."""
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
