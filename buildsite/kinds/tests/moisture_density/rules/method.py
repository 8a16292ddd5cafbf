"""Checks of procedure against the method, and of the method against the soil."""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.shared.completeness import is_complete, sample_of
from buildsite.kinds.tests.shared.rules.equipment import other_sieves
from buildsite.record.flags import Doubt, Rule, Severity, note, warning
from buildsite.soil.rounding import round_half_even
from buildsite.standards.cells import Cell
from buildsite.standards.method import Method
from buildsite.standards.soils import soil_class
from buildsite.standards.tables import find, standard


def count_unlike_method(case: Test, name: str) -> Iterator[Doubt]:
    """Yield a doubt where a count of the record is not the method's."""
    counted, method = getattr(case.record, name), case.method
    if counted is None or method is None:
        return
    cell = method.cell(name)
    if counted != int(cell.value):
        yield Doubt(
            field=(name,),
            found=str(counted),
            expected=f"{cell.value} in {method.designation} Method {method.name}",
            mend="check the bench sheet; if it was done so, state it as a departure",
            basis=cell.basis,
        )


@warning("layers-unlike-method", "the method's number of layers")
def layers_unlike_method(case: Test) -> Iterator[Doubt]:
    """A number of layers other than the method's."""
    yield from count_unlike_method(case, "layers")


@warning("blows-unlike-method", "the method's number of blows")
def blows_unlike_method(case: Test) -> Iterator[Doubt]:
    """A number of blows on each layer other than the method's."""
    yield from count_unlike_method(case, "blows_per_layer")


@warning("sieve-unlike-method", "the method's sieve")
def sieve_unlike_method(case: Test) -> Iterator[Doubt]:
    """Soil not passed through the method's sieve."""
    method = case.method
    if method is not None:
        expected = f"{method.designation} Method {method.name}"
        mend = "check which sieve was used, and the letter of the method"
        yield from other_sieves(case, case.record.compacted.on, expected, mend)


def report_item(method: Method | None, word: str) -> Cell | None:
    """Return an item that the standard requires in a report, by a word in it."""
    items = method.report_items if method is not None else ()
    return next((item for item in items if word in item.value), None)


@note("preparation-missing", "common practice")
def preparation_missing(case: Test) -> Iterator[Doubt]:
    """A complete test that does not state moist or dry preparation."""
    if is_complete(case) and case.record.preparation is None:
        cell = report_item(case.method, "preparation")
        yield Doubt(
            field=("preparation",),
            found="not stated",
            expected="moist or dry",
            mend="ask who prepared the soil",
            severity=Severity.WARNING if cell else None,
            basis=cell.basis if cell else None,
        )


@note("compaction-not-stated", "common practice")
def compaction_not_stated(case: Test) -> Iterator[Doubt]:
    """A complete test that does not state its layers, or the blows on each."""
    if not is_complete(case):
        return
    for name, what in (("layers", "layers"), ("blows_per_layer", "blows on each")):
        if getattr(case.record, name) is None:
            yield Doubt(
                field=(name,),
                found="not stated",
                expected=f"the number of {what}, as compacted",
                mend="check the bench sheet, or ask the operator: do not copy the "
                "method's number",
            )


@note("rammer-operation-missing", "common practice")
def rammer_operation_missing(case: Test) -> Iterator[Doubt]:
    """A complete test that does not state how the rammer was operated."""
    rammer = case.record.rammer
    if is_complete(case) and (rammer is None or rammer.operation is None):
        cell = report_item(case.method, "rammer, manual or mechanical")
        yield Doubt(
            field=("rammer", "operation"),
            found="not stated",
            expected="mechanical or manual",
            mend="ask the operator",
            severity=Severity.WARNING if cell else None,
            basis=cell.basis if cell else None,
        )


@warning(
    "dried-back-too-hot", "the method's highest temperature for drying before the test"
)
def dried_back_too_hot(case: Test) -> Iterator[Doubt]:
    """Soil dried at a higher temperature than the method allows."""
    dried, method = case.record.dried_back, case.method
    if dried is None or dried.max_temperature_c is None or method is None:
        return
    cell = method.optional("drying_before_test")
    if cell is not None and dried.max_temperature_c > Decimal(cell.value):
        yield Doubt(
            field=("dried_back", "max_temperature_c"),
            found=f"{dried.max_temperature_c} °C",
            expected=f"at most {cell}",
            mend="repeat the test with fresh soil: heat changes clay and organic "
            "matter permanently",
            basis=cell.basis,
        )


def exceeded_gradation_limits(
    method: Method, sample: SampleFacts
) -> Iterator[tuple[str, Decimal, Cell]]:
    """Yield each sieve that retains more than a method allows."""
    compared = method.optional("limits_compared")
    as_the_limit = compared is not None and compared.value.startswith("rounded")
    for name, _, cell in method.gradation_limits:
        retained: Decimal | None = getattr(sample, name, None)
        if retained is None:
            continue
        places = len(cell.value.partition(".")[2])
        judged = round_half_even(retained, places) if as_the_limit else retained
        if judged > Decimal(cell.value):
            yield name, retained, cell


@warning("method-not-for-gradation", "the method's limits of gradation")
def method_not_for_gradation(case: Test) -> Iterator[Doubt]:
    """Soil coarser than the method allows."""
    method, sample = case.method, sample_of(case)
    if method is None or sample is None:
        return
    used = case.record.standard
    for name, retained, cell in exceeded_gradation_limits(method, sample):
        known = standard(used.designation)
        others = [
            find(used.designation, letter, used.variant, used.edition or "")
            for letter in (known.methods if known is not None else ())
        ]
        fit = [
            other.name
            for other in others
            if other is not None and not list(exceeded_gradation_limits(other, sample))
        ]
        yield Doubt(
            field=("standard", "method"),
            found=f"Method {method.name}, {retained} % {name.replace('_', ' ')} "
            f"in sample {sample.id}",
            expected=f"at most {cell}",
            mend=f"use Method {', '.join(fit)} for this soil"
            if fit
            else "use another standard: no method of this one is for so coarse a soil",
            basis=cell.basis,
        )


def is_heavy_clay(method: Method, sample: SampleFacts) -> bool:
    """Return whether the soil is heavy clay, by its class or by the method's list."""
    known = soil_class(sample.soil_class) if sample.soil_class else None
    cell = method.optional("standing_heavy_clay")
    listed = cell is not None and sample.soil_group in cell.soils
    return listed or (known is not None and known.heavy_clay)


@warning("soil-reused", "the method's rule on reusing soil")
def soil_reused(case: Test) -> Iterator[Doubt]:
    """Soil reused between points where the method requires fresh soil."""
    method, sample = case.method, sample_of(case)
    if case.record.specimens != "reused" or method is None:
        return
    cell = method.cell("may_reuse_soil")
    soil, heavy = "", False
    if sample is not None and is_heavy_clay(method, sample):
        soil, heavy = f", heavy clay ({sample.soil_class or sample.soil_group})", True
    if cell.value == "no" or (cell.value == "unless fragile" and heavy):
        yield Doubt(
            field=("specimens",),
            found=f"reused soil{soil}",
            expected="fresh soil for each point",
            mend="repeat the test with a separate specimen for each point",
            basis=cell.basis,
        )


RULES: tuple[Rule[Test], ...] = (
    layers_unlike_method,
    blows_unlike_method,
    sieve_unlike_method,
    compaction_not_stated,
    preparation_missing,
    rammer_operation_missing,
    dried_back_too_hot,
    method_not_for_gradation,
    soil_reused,
)
