"""The coarse fraction of a sample: model, computation, rules and sheet of one kind."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from buildsite.kinds.across import Trace
from buildsite.kinds.bench_spec import Bench
from buildsite.kinds.kind import Compared, Kind, Lines, Ref
from buildsite.kinds.tests.coarse_fraction.blank import BLANK
from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.compute import Values, compute
from buildsite.kinds.tests.coarse_fraction.model import STONES, WATERS, CoarseFraction
from buildsite.kinds.tests.coarse_fraction.reported import (
    answer_from_result,
    answers,
    reported,
)
from buildsite.kinds.tests.coarse_fraction.rules import RULES
from buildsite.kinds.tests.coarse_fraction.sheet import sheet
from buildsite.kinds.tests.shared.columns import as_written
from buildsite.kinds.tests.shared.links import common_refs, device_refs, once
from buildsite.kinds.tests.shared.traces import trace_of


def needs(record: CoarseFraction) -> tuple[Ref, ...]:
    """Ask what a test of any kind asks."""
    return once(*common_refs(record), *device_refs(record))


ENOUGH = 3
"""Readings that two lines can't share by chance."""


def trace(record: CoarseFraction, file: str) -> Trace:
    """Leave each fraction's water and each specimen's masses."""
    waters = as_written(record, WATERS, ENOUGH)
    stones = as_written(record, STONES, ENOUGH, "stones")
    return trace_of(record, file, [*waters, *stones], repeats=True)


def compare_repeats(earlier: Test, later: Test) -> Compared:
    """Compare two repeat tests. Imported late: few samples are tested twice."""
    from buildsite.kinds.tests.coarse_fraction.repeats import compared

    return compared(earlier, later)


def detail(case: Test) -> Mapping[str, Any]:
    """Each fraction and each specimen, as `show --json` gives them."""
    names = ("water_content", "dry_mass", "retained")
    return {
        "sieve": case.record.sieve,
        "fractions": [
            {
                "retained_on": one.retained_on,
                **{name: getattr(found, name) for name in names},
            }
            for one, found in zip(
                case.record.fractions, case.values.fractions, strict=True
            )
        ],
        "specimens": [
            {
                "retained_on": one.retained_on,
                "dry_mass": made.dry_mass,
                "rejected": made.rejected,
                **(asdict(made.found) if made.found is not None else {}),
            }
            for one, made in zip(case.record.specimens, case.values.stones, strict=True)
        ],
    }


def lay_out(case: Test) -> Bench:
    """Lay out the bench sheet. Imported late: `check` never asks for it."""
    from buildsite.kinds.tests.coarse_fraction.bench import bench

    return bench(case)


KIND: Kind[CoarseFraction, Values] = Kind(
    name="coarse-fraction",
    title="Coarse fraction",
    group="test",
    model=CoarseFraction,
    needs=needs,
    answers=answers,
    compute=compute,
    results=reported,
    detail=detail,
    sheet=sheet,
    rules=RULES,
    trace=trace,
    repeats=compare_repeats,
    blank=BLANK,
    bench=lay_out,
    takes="coarse-fraction",
    answer_from_result=answer_from_result,
    lines=Lines("specimens", "specimen", (("bulk", "", 3), ("absorption", "%", 2))),
)
