"""The working of a field test's comparison with its reference, and of its verdict."""

from collections.abc import Iterator

from buildsite.kinds.bounds import DENSITY, PERCENT, ROUNDED, UNROUNDED
from buildsite.kinds.criteria import Criterion, Target, signed
from buildsite.kinds.reporting import printed_unit
from buildsite.kinds.steps import Input, Line, Step, Symbol
from buildsite.kinds.tests.field_density.comparison import FINES
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.working.water import (
    FINE,
    RESULT,
    SHARE,
    coarse_water_input,
    counts_line,
    gravity_source,
)
from buildsite.kinds.tests.shared.working import (
    capital,
    result_line,
    rounded_as,
    rounding_row,
    words_of,
)
from buildsite.kinds.working import (
    constants,
    density_line,
    digits,
    in_words,
    read,
    step_of,
)
from buildsite.record.units import from_si
from buildsite.soil.formulas import (
    FINE_DRY_DENSITY,
    OVEN_DRY_BULK,
    PERCENT_COMPACTION,
    TOTAL_DRY_DENSITY,
    TOTAL_WATER_CONTENT,
)

COMPACTION, DEVIATION = "percent_compaction", "water_content_deviation"
MAXIMUM, OPTIMUM, BULK = "target-maximum", "target-optimum", "oven-dry-bulk"
FINE_DENSITY = "dry-density-fine"
WATER = constants(TOTAL_DRY_DENSITY)[0]._replace(unit="kg/m3")


def comparison_steps(case: Test) -> Iterator[Step]:
    """Yield the target, brought to the field's fraction, and what is compared."""
    compared = case.values.compared
    target = compared.target
    if target is None:
        return
    yield from taken_steps(case, compared.base or target)
    if compared.bulk is not None:
        yield from bulk_steps(case, compared.bulk)
    if compared.base is not None:
        yield from corrected_steps(case, compared.base, target)
    elif compared.fraction == FINES and compared.dry_density is not None:
        yield fine_step(case, compared.dry_density)
    if COMPACTION in case.results:
        yield compaction_step(case, target)
    if DEVIATION in case.results:
        yield deviation_step(case, target)


def base_lines(case: Test) -> tuple[str, str]:
    """Return the lines of maximum and optimum as taken over."""
    corrected = case.values.compared.base is not None
    lead = "reference-" if corrected else ""
    return f"{lead}{MAXIMUM}", f"{lead}{OPTIMUM}"


def taken_steps(case: Test, target: Target) -> Iterator[Step]:
    """Yield maximum and optimum as the reference reports them, or the record states."""
    facts, record = case.values.reference, case.record
    maximum, optimum = base_lines(case)
    unit = target.density_unit
    if facts is not None:
        to = ("test", facts.id)
        shown = digits(from_si(target.maximum_dry_density, unit))
        dry = Input("rho_max", shown, unit, to=to)
        wet = Input("w_opt", digits(target.optimum_water_content), "%", to=to)
    else:
        stated = record.target
        density = stated.maximum_dry_density if stated is not None else None
        water = stated.optimum_water_content if stated is not None else None
        dry = Input("rho_max", read(density), unit, ("target", "maximum_dry_density"))
        wet = Input("w_opt", read(water), "%", ("target", "optimum_water_content"))
    whence = capital(f"{target.from_}.") if target.from_ else ""
    values = case.values.requirement
    taken = values.reference_values if values is not None else ""
    note = (
        "Unrounded, as the requirement says."
        if taken == UNROUNDED
        else "As reported, which percent compaction is worked from."
    )
    made = Line(maximum, "", (dry,), "")
    yield Step(
        f"step-{maximum}",
        "Maximum dry density of the reference",
        (density_line(target.maximum_dry_density, case.values.density_unit, made),),
        "rho_max",
        "rho_max",
        notes=tuple(filter(None, (whence, note))),
    )
    if target.optimum_water_content:
        text = digits(target.optimum_water_content)
        yield Step(
            f"step-{optimum}",
            f"Optimum {words_of(case.method)['water content']} of the reference",
            (Line(optimum, "", (wet,), text, "%"),),
            "w_opt",
            "w_opt",
        )


def bulk_steps(case: Test, bulk: float) -> Iterator[Step]:
    """Yield the oven-dry bulk specific gravity of the coarse particles."""
    facts = case.values.reference
    oversize = facts.oversize if facts is not None else None
    own = case.record.coarse.specific_gravity if case.record.coarse else None
    given = gravity_source(case, oversize, None)
    stated_here = own is not None and own.value is not None
    basis: str | None = own.basis if own is not None and stated_here else ""
    if not stated_here and oversize is not None:
        basis = oversize.bulk_basis or ""
    made = Line(BULK, "", (given,), digits(bulk))
    name = "Oven-dry bulk specific gravity of the coarse particles"
    if basis != "SSD":
        yield Step(f"step-{BULK}", name, (made,), "G_b", "G_b")
        return
    saturated = given._replace(symbol="G_ssd")
    if own is not None and own.absorption is not None:
        field = ("coarse", "specific_gravity", "absorption")
        absorbed = Input("A", read(own.absorption), "%", field)
    else:
        to = ("test", facts.id) if facts is not None else None
        known = oversize.absorption if oversize is not None else None
        absorbed = Input("A", read(known), "%", to=to)
    line = made._replace(inputs=(saturated, absorbed))
    yield step_of(OVEN_DRY_BULK, f"step-{BULK}", name, [line], {"A": "%"})


def share_input(case: Test) -> Input:
    """Return the coarse fraction of the field's soil."""
    split = case.values.split
    percent = split.percent if split is not None else None
    return Input("P", digits(percent or 0.0), "%", line=SHARE)


def corrected_steps(case: Test, base: Target, target: Target) -> Iterator[Step]:
    """Yield the reference corrected to the field's own coarse fraction."""
    words, unit = words_of(case.method), case.values.density_unit
    maximum, optimum = base_lines(case)
    share = share_input(case)
    bulk = Input("G_b", digits(case.values.compared.bulk or 0.0), line=BULK)
    fine = Input("rho_f", digits(base.maximum_dry_density), "kg/m3", line=maximum)
    made = Line(MAXIMUM, "", (fine, share, bulk, WATER), "")
    yield step_of(
        TOTAL_DRY_DENSITY,
        f"step-{MAXIMUM}",
        "Maximum dry density, for the field's coarse fraction",
        [density_line(target.maximum_dry_density, unit, made)],
        {"rho_f": "kg/m³", "P": "%", "rho_w": "kg/m³"},
        words,
    )
    if not target.optimum_water_content:
        return
    inputs = (
        Input("w_f", digits(base.optimum_water_content), "%", line=optimum),
        share,
        coarse_water_input(case, "w_c"),
    )
    text = digits(target.optimum_water_content)
    yield step_of(
        TOTAL_WATER_CONTENT,
        f"step-{OPTIMUM}",
        f"Optimum {words['water content']}, for the field's coarse fraction",
        [Line(OPTIMUM, "", inputs, text, "%")],
        {"w_f": "%", "P": "%", "w_c": "%"},
        words,
    )


def fine_step(case: Test, density: float) -> Step:
    """Return the field's dry density without its coarse particles."""
    inputs = (
        Input(
            "rho_t", digits(case.values.dry_density or 0.0), "kg/m3", line="dry_density"
        ),
        share_input(case),
        Input("G_b", digits(case.values.compared.bulk or 0.0), line=BULK),
        WATER,
    )
    made = Line(FINE_DENSITY, "", inputs, "")
    return step_of(
        FINE_DRY_DENSITY,
        f"step-{FINE_DENSITY}",
        "Dry density of what passes the sieve",
        [density_line(density, case.values.density_unit, made)],
        {"rho_t": "kg/m³", "P": "%", "rho_w": "kg/m³"},
        words_of(case.method),
    )


def compaction_step(case: Test, target: Target) -> Step:
    """Return the step of percent compaction."""
    compared = case.values.compared
    fines = compared.fraction == FINES and compared.bulk is not None
    own = FINE_DENSITY if fines else "dry_density"
    inputs = (
        Input("rho_d", digits(compared.dry_density or 0.0), "kg/m3", line=own),
        Input("rho_max", digits(target.maximum_dry_density), "kg/m3", line=MAXIMUM),
    )
    return step_of(
        PERCENT_COMPACTION,
        f"step-{COMPACTION}",
        "Percent compaction",
        [result_line(case, COMPACTION)._replace(inputs=inputs)],
        {"rho_d": "kg/m³", "rho_max": "kg/m³"},
        words_of(case.method),
        rounded_as(case, COMPACTION),
        rounding_row(case, COMPACTION),
    )


def compared_water(case: Test) -> Input:
    """Return the water content that is compared, from its line."""
    compared, water = case.values.compared, case.values.water
    text = digits(compared.water or 0.0)
    if (
        compared.water == case.results[RESULT].value
        if RESULT in case.results
        else False
    ):
        return Input("w", text, "%", line=RESULT)
    if water.fine is not None and compared.water == water.fine:
        coarse = case.record.coarse
        if coarse is not None and coarse.water_passing is not None:
            stated = read(coarse.water_passing)
            return Input("w", stated, "%", ("coarse", "water_passing"))
        counted = water.fraction == "fine" or water.total is None
        return Input("w", text, "%", line=counts_line(case) if counted else FINE)
    return Input("w", text, "%", line=counts_line(case))


def deviation_step(case: Test, target: Target) -> Step:
    """Return the step of the deviation from the optimum."""
    optimum = Input("w_opt", digits(target.optimum_water_content), "%", line=OPTIMUM)
    water = words_of(case.method)["water content"]
    return Step(
        f"step-{DEVIATION}",
        f"{capital(water)} from optimum",
        (
            result_line(case, DEVIATION)._replace(
                inputs=(compared_water(case), optimum)
            ),
        ),
        "d",
        "w - w_opt",
        (
            Symbol("w", f"{water} of the same fraction", "%"),
            Symbol("w_opt", "optimum", "%"),
        ),
        notes=(
            f"The {water} is rounded to 0.1 % first, then the optimum is taken off.",
        ),
        to=rounding_row(case, DEVIATION),
    )


def verdict_steps(case: Test) -> Iterator[Step]:
    """Yield each limit with what was compared."""
    criteria = case.values.verdict.criteria
    if not criteria:
        return
    lines = tuple(criterion_line(case, one, i) for i, one in enumerate(criteria, 1))
    rounded = any(one.compare == ROUNDED for one in criteria)
    guarded = any(one.guard for one in criteria)
    notes = (
        "Rounded: what is compared has the last place of the limit, a half to the "
        "even digit (ASTM E29, rounding method)." * rounded,
        "Guarded: the limit is moved by the guard band (JCGM 106:2012, 8.3)." * guarded,
    )
    yield Step(
        "criteria",
        "Comparison with each limit",
        lines,
        notes=tuple(filter(None, notes)),
        unlike="Compared as",
    )


def criterion_line(case: Test, one: Criterion, i: int) -> Line:
    """Return the line of one limit."""
    sign = (lambda text: text) if one.criterion in (PERCENT, DENSITY) else signed
    inputs: tuple[Input, ...] = ()
    if one.criterion == PERCENT and COMPACTION in case.results:
        text = digits(case.results[COMPACTION].value)
        inputs = (Input("C", text, "%", line=COMPACTION),)
    elif one.criterion == DENSITY and case.values.compared.dry_density is not None:
        density = case.values.compared.dry_density
        text = digits(from_si(density, one.unit))
        inputs = (Input("rho_d", text, one.unit),)
    elif DEVIATION in case.results:
        text = digits(case.results[DEVIATION].value)
        inputs = (Input("d", text, "points", line=DEVIATION),)
    unit = printed_unit(one.unit)
    band = f", guard band {one.guard} {unit}" if one.guard else ""
    met = "met" if one.met else "not met"
    return Line(
        f"criterion-{i}",
        capital(in_words(one.criterion.replace("_", " "), words_of(case.method))),
        inputs,
        sign(one.compared),
        one.unit,
        note=f"at {one.side} {sign(one.limit)} {unit}{band}: {met}",
    )
