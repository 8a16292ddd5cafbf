"""Whether the method is for such a soil, and the soil was treated as it says."""

from collections.abc import Iterator
from decimal import Decimal

from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.shared.completeness import sample_of
from buildsite.record.flags import Doubt, Rule, warning
from buildsite.soil.rounding import round_half_even
from buildsite.standards.cells import Cell
from buildsite.standards.soils import soil_class
from buildsite.standards.tables import Method, find, standard


@warning(
    "dried-back-too-hot", "the method's highest temperature of drying before the test"
)
def dried_back_too_hot(case: Test) -> Iterator[Doubt]:
    """Soil dried before the test hotter than the method allows."""
    dried, method = case.record.dried_back, case.method
    if dried is None or dried.max_temperature_c is None or method is None:
        return
    cell = method.optional("drying_before_test")
    if cell is not None and dried.max_temperature_c > Decimal(cell.value):
        yield Doubt(
            field=("dried_back", "max_temperature_c"),
            found=f"{dried.max_temperature_c} °C",
            expected=f"at most {cell}",
            mend="heat changes clay and organic matter for good: begin again with "
            "fresh soil",
            basis=cell.basis,
        )


def retained_too_much(
    method: Method, sample: SampleFacts
) -> Iterator[tuple[str, Decimal, Cell]]:
    """Each sieve that retains more than a method allows."""
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
    """A method that is not for soil with so many coarse grains."""
    method, sample = case.method, sample_of(case)
    if method is None or sample is None:
        return
    used = case.record.standard
    for name, retained, cell in retained_too_much(method, sample):
        known = standard(used.designation)
        others = [
            find(used.designation, letter, used.variant, used.edition or "")
            for letter in (known.methods if known is not None else ())
        ]
        fit = [
            other.name
            for other in others
            if other is not None and not list(retained_too_much(other, sample))
        ]
        yield Doubt(
            field=("standard", "method"),
            found=f"Method {method.name}, {retained} % {name.replace('_', ' ')} "
            f"in sample {sample.id}",
            expected=f"at most {cell}",
            mend=f"allowed for this soil: Method {', '.join(fit)}"
            if fit
            else "no method of this standard is for so coarse a soil",
            basis=cell.basis,
        )


def is_heavy_clay(method: Method, sample: SampleFacts) -> bool:
    """Whether the soil is heavy clay, by its class or by the method's own list."""
    known = soil_class(sample.soil_class) if sample.soil_class else None
    cell = method.optional("standing_heavy_clay")
    listed = cell is not None and sample.soil_group in cell.soils
    return listed or (known is not None and known.heavy_clay)


@warning("soil-reused", "the method's rule on reusing soil")
def soil_reused(case: Test) -> Iterator[Doubt]:
    """Soil compacted twice where the method asks for fresh soil."""
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
            mend="compacting breaks grains and clods for good: make separate specimens",
            basis=cell.basis,
        )


RULES: tuple[Rule[Test], ...] = (
    dried_back_too_hot,
    method_not_for_gradation,
    soil_reused,
)
