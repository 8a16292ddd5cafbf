"""Checks of the oversize and of its correction."""

from collections.abc import Iterator

from buildsite.kinds import oversize_checks
from buildsite.kinds.answers import OversizeFact
from buildsite.kinds.limits import above
from buildsite.kinds.sieves import gradation_field, same_sieve
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.rules.common import (
    note_until_complete,
    oversize_field,
)
from buildsite.kinds.tests.moisture_density.whole_soil import bulk_of, too_absorbent
from buildsite.kinds.tests.shared.completeness import laboratory_of, sample_of
from buildsite.record.flags import Doubt, Rule, Severity, note, warning
from buildsite.standards.method import Method


def oversize_and_method(case: Test) -> tuple[OversizeFact, Method] | None:
    """Return the oversize and the method, where both are known."""
    coarse, method = case.values.oversize, case.method
    return (coarse, method) if coarse is not None and method is not None else None


def to_be_corrected(case: Test) -> tuple[OversizeFact, Method] | None:
    """Return the same where there is enough oversize to correct for."""
    known = oversize_and_method(case)
    if known is None:
        return None
    coarse, method = known
    least = least_percent(case, method)
    return known if float(coarse.percent_retained) > least else None


def least_percent(case: Test, method: Method) -> float:
    """Return the least oversize to correct for: the laboratory's or the method's."""
    lab = laboratory_of(case)
    own = lab.oversize_least_percent if lab is not None else None
    return method.oversize_least_percent if own is None else float(own)


@warning("oversize-above-limit", "the method's limit of oversize")
def oversize_above_limit(case: Test) -> Iterator[Doubt]:
    """Oversize beyond the method's limit."""
    known = oversize_and_method(case)
    if known is None:
        return
    coarse, method = known
    cell = method.cell("oversize_limit")
    if above(float(coarse.percent_retained), cell, method):
        yield Doubt(
            field=oversize_field(case),
            found=f"{coarse.percent_retained} % retained on the "
            f"{method.oversize_sieve} sieve",
            expected=f"at most {cell}",
            mend="use a method for coarser soil, or agree on another way of control: "
            "no correction is made",
            basis=cell.basis,
        )


@warning("oversize-not-corrected", "the method's rule on oversize")
def oversize_not_corrected(case: Test) -> Iterator[Doubt]:
    """A result that cannot be corrected for oversize: data are missing."""
    yield from oversize_not_stated(case)
    yield from left_by_procedure(case)
    known = to_be_corrected(case)
    if known is None or bulk_of(*known) is not None:
        return
    coarse, method = known
    cell = method.cell("oversize_least")
    yield Doubt(
        field=oversize_field(case),
        found=f"{coarse.percent_retained} % without a bulk specific gravity",
        expected=f"a correction above {cell}",
        mend="measure or state the bulk specific gravity of the oversize",
        severity=note_until_complete(case),
        basis=cell.basis,
    )


def left_by_procedure(case: Test) -> Iterator[Doubt]:
    """Yield a note where the method would correct, and the laboratory doesn't."""
    known = oversize_and_method(case)
    if known is None:
        return
    coarse, method = known
    own, percent = least_percent(case, method), float(coarse.percent_retained)
    cell = method.cell("oversize_least")
    if method.oversize_least_percent < percent <= own:
        yield Doubt(
            field=oversize_field(case),
            found=f"{coarse.percent_retained} %, not corrected: the laboratory's "
            f"procedures correct above {own:g} %",
            expected=f"a correction above {cell}, unless specified otherwise",
            mend="no action if the specification says so; else change "
            "oversize_least_percent in lab.yaml",
            severity=Severity.NOTE,
            basis=cell.basis,
        )


def oversize_not_stated(case: Test) -> Iterator[Doubt]:
    """Yield a doubt where only the gradation shows the oversize."""
    method, sample = case.method, sample_of(case)
    if method is None or sample is None or case.values.oversize is not None:
        return
    field = gradation_field(method.oversize_sieve)
    retained = getattr(sample, field) if field is not None else None
    limit, least = method.cell("oversize_limit"), least_percent(case, method)
    if retained is None or above(float(retained), limit, method):
        return  # above the limit: flagged as the wrong method
    if float(retained) > least:
        cell = method.cell("oversize_least")
        yield Doubt(
            field=("sample",),
            found=f"{retained} % retained on the {method.oversize_sieve} sieve in the "
            f"gradation of {sample.id}, and no oversize stated",
            expected=f"a correction above {cell}",
            mend="state the oversize on the sample, with its bulk specific gravity",
            severity=note_until_complete(case),
            basis=cell.basis,
        )


@warning("oversize-too-absorbent", "the method's limit of absorption")
def oversize_too_absorbent(case: Test) -> Iterator[Doubt]:
    """Oversize whose absorption is beyond the limit of the correction."""
    known = to_be_corrected(case)
    if known is None or not too_absorbent(*known):
        return
    coarse, method = known
    cell = method.cell("oversize_absorption")
    yield Doubt(
        field=oversize_field(case),
        found=f"an absorption of {coarse.absorption} %",
        expected=f"at most {cell}",
        mend="agree on another way of control: no correction is made",
        basis=cell.basis,
    )


@warning(
    "oversize-basis-missing", "AASHTO T 85, ASTM C127: two bulk specific gravities"
)
def oversize_basis_missing(case: Test) -> Iterator[Doubt]:
    """A bulk specific gravity that may be oven-dry or SSD."""
    known = to_be_corrected(case)
    if known is None:
        return
    coarse = known[0]
    if coarse.bulk_specific_gravity is not None and coarse.bulk_basis is None:
        yield Doubt(
            field=oversize_field(case),
            found=f"{coarse.bulk_specific_gravity}, used as oven-dry",
            expected="bulk_basis: oven-dry or SSD",
            mend="check the test of the coarse fraction: the two differ by the "
            "absorption",
        )


@note("oversize-assumed", "NDDOT T 224 (2011): 2.0 % where not measured")
def oversize_assumed(case: Test) -> Iterator[Doubt]:
    """A correction for oversize with an assumed value."""
    corrected = case.values.corrected
    if corrected is not None and corrected.assumed:
        yield Doubt(
            field=oversize_field(case),
            found=f"{' and '.join(corrected.assumed)} of the oversize assumed",
            expected="measured values",
            mend="measure it, or accept the flag: the report states the assumption",
        )


@warning("oversize-on-other-sieve", "the method's sieve for oversize")
def oversize_on_other_sieve(case: Test) -> Iterator[Doubt]:
    """Oversize not measured on the method's sieve."""
    known = oversize_and_method(case)
    if known is None or not known[0].sieve:
        return
    coarse, method = known
    cell = method.cell("oversize_sieve")
    if not same_sieve(coarse.sieve, cell.value):
        yield Doubt(
            field=oversize_field(case),
            found=f"{coarse.percent_retained} % retained on the {coarse.sieve} sieve",
            expected=f"retained on the {cell.value} sieve, in {method.designation} "
            f"Method {method.name}",
            mend="take the percent retained on that sieve from the gradation",
            basis=cell.basis,
        )


def sieve_of(coarse: OversizeFact, case: Test) -> str:
    """Return the sieve of the oversize: as stated, else the method's."""
    return coarse.sieve or (case.method.oversize_sieve if case.method else "")


@warning("oversize-unlike-gradation", "common practice")
def oversize_unlike_gradation(case: Test) -> Iterator[Doubt]:
    """An oversize unlike the sample's gradation on the same sieve."""
    coarse, sample = case.values.oversize, sample_of(case)
    if coarse is not None and sample is not None:
        sieve, field = sieve_of(coarse, case), oversize_field(case)
        yield from oversize_checks.unlike_gradation(coarse, sieve, sample, field)


@warning("oversize-like-a-fraction", "common practice")
def oversize_like_a_fraction(case: Test) -> Iterator[Doubt]:
    """An oversize below 1 % that no gradation supports: percent or fraction."""
    coarse = case.values.oversize
    if coarse is not None:
        sieve, field = sieve_of(coarse, case), oversize_field(case)
        sample = sample_of(case)
        yield from oversize_checks.like_a_fraction(coarse, sieve, sample, field)


@warning("oversize-too-wet", "common practice")
def oversize_too_wet(case: Test) -> Iterator[Doubt]:
    """The oversize has a water content that coarse particles can't hold."""
    coarse = case.values.oversize
    if coarse is not None:
        word = case.word("water_content")
        yield from oversize_checks.too_wet(coarse, word, oversize_field(case))


RULES: tuple[Rule[Test], ...] = (
    oversize_unlike_gradation,
    oversize_like_a_fraction,
    oversize_too_wet,
    oversize_above_limit,
    oversize_not_corrected,
    oversize_basis_missing,
    oversize_too_absorbent,
    oversize_assumed,
    oversize_on_other_sieve,
)
