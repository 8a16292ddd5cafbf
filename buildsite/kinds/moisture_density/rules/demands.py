"""What the laboratory's procedures demand, and what ties a test to other papers."""

from collections.abc import Iterator

from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.model import MoistureDensity
from buildsite.kinds.moisture_density.rules.about import each_container
from buildsite.kinds.moisture_density.rules.answered import (
    is_complete,
    laboratory_of,
    sample_of,
)
from buildsite.record.flags import Doubt, Field, Rule, Severity

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


def wanting_whole(record: MoistureDensity, name: str) -> Iterator[Field]:
    """Fields under a demanded name that the test does not have."""
    path = tuple(name.split("."))
    node: object = record
    for part in path:
        node = part_of(node, part)
    if node is None:
        yield path
        return
    for part in WHOLE.get(name, ()):
        if part_of(node, part) is None:
            yield (*path, part)


def no_container(case: Test) -> Iterator[Field]:
    """Containers that nobody named."""
    for _, field, one in each_container(case):
        if one.container is None:
            yield (*field, "container")


def no_water_added(case: Test) -> Iterator[Field]:
    """Points whose water nobody wrote down."""
    for i, point in enumerate(case.record.points):
        if point.water_added_ml is None and point.mold_and_wet_soil is not None:
            yield ("points", i, "water_added_ml")


AT_POINTS = {"container": no_container, "water_added_ml": no_water_added}
"""Demands that are met point by point."""


def wanting(case: Test, name: str) -> Iterator[Field]:
    """Every place where a demand is not met."""
    if name in AT_POINTS:
        yield from AT_POINTS[name](case)
    elif name.split(".")[0] in MoistureDensity.model_fields:
        yield from wanting_whole(case.record, name)


def demanded_field_missing(case: Test) -> Iterator[Doubt]:
    """A field that the laboratory's procedures demand, and the test does not have."""
    lab, record = laboratory_of(case), case.record
    # Another laboratory's work is not done by our procedures.
    if lab is None or record.external is not None or record.status == "withdrawn":
        return
    for name in lab.demands:
        for field in wanting(case, name):
            yield Doubt(
                field=field,
                found="nothing",
                expected=f"{name}, which procedures.demands in lab.yaml asks for",
                mend="look at the bench sheet; what was not written down then stays "
                "unknown: say so when you accept this",
                severity=None if is_complete(case) else Severity.NOTE,
            )


def sample_of_another_project(case: Test) -> Iterator[Doubt]:
    """A sample that belongs to another project than the test."""
    sample = sample_of(case)
    if sample is not None and sample.project != case.record.project:
        yield Doubt(
            field=("sample",),
            found=f"{sample.id}, of project {sample.project}",
            expected=f"a sample of {case.record.project}",
            mend="look for a slip in the sample's number",
        )


def external_without_report(case: Test) -> Iterator[Doubt]:
    """Another laboratory's work without the number of its report."""
    other = case.record.external
    if other is not None and other.report is None:
        yield Doubt(
            field=("external", "report"),
            found=f"nothing from {other.laboratory}",
            expected="the number of that laboratory's report",
            mend="ask for the report and file it",
        )


def bench_sheet_without_digest(case: Test) -> Iterator[Doubt]:
    """A bench sheet that could be exchanged unnoticed: its digest is not written."""
    sheet = case.record.bench_sheet
    if sheet is not None and sheet.sha256 is None:
        yield Doubt(
            field=("bench_sheet", "sha256"),
            found=f"{sheet.file} without a digest",
            expected="the SHA-256 of the file",
            mend="write what `sha256sum` prints for it",
        )


RULES: tuple[Rule[Test], ...] = (
    Rule(
        "demanded-field-missing",
        Severity.WARNING,
        "the laboratory's procedures: demands",
        demanded_field_missing,
    ),
    Rule(
        "sample-of-another-project",
        Severity.WARNING,
        "ISO/IEC 17025:2017, 7.4.2 (from memory): items are not confused",
        sample_of_another_project,
    ),
    Rule(
        "external-without-report",
        Severity.WARNING,
        "ISO/IEC 17025:2017, 7.8.2.1: results from others are marked as theirs",
        external_without_report,
    ),
    Rule(
        "bench-sheet-without-digest",
        Severity.NOTE,
        "ISO/IEC 17025:2017, 7.5.2: the first observation is kept",
        bench_sheet_without_digest,
    ),
)
