"""Checks of the water content and of the coarse fraction of a field density."""

from collections.abc import Iterator

from buildsite.kinds.fractions import BASIS, FLAG, fraction_doubt, like_a_fraction
from buildsite.kinds.limits import ORGANIC
from buildsite.kinds.sieves import opening_mm
from buildsite.kinds.tests.field_density import comparison
from buildsite.kinds.tests.field_density.compute import Test, least_coarse
from buildsite.kinds.tests.field_density.water import way_of
from buildsite.kinds.tests.shared.completeness import (
    gap_severity,
    is_complete,
    sample_of,
)
from buildsite.kinds.tests.shared.rules.waters import MOST_OF_SOIL, unusual_water
from buildsite.record.flags import Doubt, Field, Rule, Severity, error, note, warning

COMMON = "common practice"
T_217 = "AASHTO T 217-14, note 1"

CHECK_POINTS, CHECK_SHARE = 1.0, 0.1
"""A field-dried water content may differ from the oven's by the greater of these, in
points and as a share of the oven's: common practice, for two specimens."""

FAR_POINTS, FAR_SHARE = 10.0, 0.5
"""The field's coarse fraction may differ from the reference's by the greater of these,
in points and as a share of the reference's: common practice. Beyond, the corrected
value rests on another soil than was compacted."""

COARSE: Field = ("coarse",)


@warning("water-content-preliminary", COMMON)
def water_preliminary(case: Test) -> Iterator[Doubt]:
    """A field-dried water content without the oven's, which is required here."""
    if case.values.preliminary:
        yield Doubt(
            field=("oven_check",),
            found=f"by {way_of(case.record).replace('-', ' ')}, and no oven check",
            expected="the oven's water content of the same soil",
            mend="dry a specimen in the oven and enter it as oven_check: it then "
            "counts, and both stay on file",
            severity=None if is_complete(case) else Severity.NOTE,
        )


@warning("oven-check-apart", COMMON)
def oven_check_apart(case: Test) -> Iterator[Doubt]:
    """The oven's water content differs much from that of the field."""
    water = case.values.water
    if water.field is None or water.oven is None:
        return
    allowed = max(CHECK_POINTS, CHECK_SHARE * water.oven)
    if abs(water.field - water.oven) > allowed + 1e-9:
        yield Doubt(
            field=("oven_check",),
            found=f"{water.oven:.1f} % in the oven, {water.field:.1f} % in the field",
            expected=f"within {allowed:.1f} points",
            mend="check both readings; if they stand, check the field's method in this "
            "soil: the oven's value counts",
        )


@warning("gas-pressure-not-for-soil", T_217)
def gas_pressure_not_for_soil(case: Test) -> Iterator[Doubt]:
    """A gas pressure tester in soil with coarse particles."""
    cell = case.cell("gas_pressure_sieve")
    sieve = opening_mm(cell.value) if cell is not None else None
    coarse = coarse_in_tester(case, sieve or 4.75)
    if case.record.water_content_by == "gas-pressure" and coarse:
        yield Doubt(
            field=("water_content_by",),
            found=f"gas pressure in soil {coarse}",
            expected=f"soil passing {cell.value if cell else 'No. 4'}",
            mend="dry a specimen of the whole soil, in an oven or in the field",
            basis=cell.basis if cell is not None else None,
        )


def coarse_in_tester(case: Test, sieve: float) -> str:
    """Return what is coarser than a sieve [mm] in the soil tested; blank if little."""
    record, split = case.record, case.values.split
    share = split.percent if split is not None else None
    if split is None or share is None:
        largest = opening_mm(record.largest_particle or "")
        coarser = largest is not None and largest > sieve
        return f"passing {record.largest_particle}, not split" if coarser else ""
    of = opening_mm(split.sieve) or sieve
    if of < sieve or (of == sieve and record.water_fraction == "fine"):
        return ""
    most = case.cell("gas_pressure_retained")
    limit = most.si if most is not None else 5.0
    return f"with {share:.0f} % coarse particles" if share > limit else ""


@warning("water-basis-missing", T_217)
def water_basis_missing(case: Test) -> Iterator[Doubt]:
    """A reading of a gas pressure tester, and nothing that says by which mass."""
    record = case.record
    by_gas = record.water_content_by == "gas-pressure"
    if by_gas and record.water_content is not None and record.water_basis is None:
        yield Doubt(
            field=("water_basis",),
            found=f"{record.water_content} %, taken as of the dry mass",
            expected="water_basis: wet, as the tester reads it, or dry",
            mend="ask whether the reading was converted: 100 r / (100 - r)",
        )


@warning("unusual-water-content", COMMON)
def water_unusual(case: Test) -> Iterator[Doubt]:
    """A water content that soil other than organic does not have."""
    sample, water = sample_of(case), case.values.water.counts
    if water is None or (sample is not None and sample.soil_class in ORGANIC):
        return
    words = (case.word("water_content"), "soil that is not organic")
    yield from unusual_water(("containers",), water, MOST_OF_SOIL, words)


@warning(FLAG, BASIS)
def water_like_a_fraction(case: Test) -> Iterator[Doubt]:
    """A water content that looks typed as a fraction."""
    typed = case.record.water_content
    if typed is not None and like_a_fraction(typed):
        yield fraction_doubt(("water_content",), typed)


@warning("water-of-fines-alone", COMMON)
def water_of_fines_alone(case: Test) -> Iterator[Doubt]:
    """A water content of the fines, and no split that makes it that of the soil."""
    water = case.values.water
    if case.record.water_fraction == "fine" and water.total is None:
        yield Doubt(
            field=("water_fraction",),
            found="of the fines, and no coarse fraction",
            expected="the water content of the whole soil, or its split",
            mend="enter the split under coarse, or dry the whole soil",
        )


@error("split-incomplete", COMMON)
def split_incomplete(case: Test) -> Iterator[Doubt]:
    """A split of the field's soil that lacks its sieve or its masses."""
    coarse, split = case.record.coarse, case.values.split
    if coarse is None or split is None:
        return
    missing = [] if coarse.sieve else ["sieve"]
    if split.percent is None:
        missing += ["retained and passing, with the water of one of them"]
    if missing:
        yield Doubt(
            field=COARSE,
            found=f"no {', no '.join(missing)}",
            expected="sieve, moist masses retained and passing, and their water",
            mend="enter them from the field sheet, or percent_retained",
            severity=gap_severity(case),
        )


@warning("oversize-above-limit", "the method's limit of oversize")
def oversize_above_limit(case: Test) -> Iterator[Doubt]:
    """More coarse particles than any correction serves."""
    found, split = case.values.compared, case.values.split
    if split is None or found.reason != comparison.ABOVE_LIMIT:
        return
    limit = comparison.coarse_limit(case.method, split.sieve)
    yield Doubt(
        field=COARSE,
        found=found.why_not.partition(",")[0],
        expected=f"at most {limit[0]}" if limit is not None else "less",
        mend="agree on another way of control, as by passes of a roller: no verdict is "
        "given",
        basis=limit[0].basis if limit is not None else None,
    )


@warning("oversize-not-corrected", "the method's rule on oversize")
def oversize_not_corrected(case: Test) -> Iterator[Doubt]:
    """Field and reference that can't be brought to one fraction: data are missing."""
    reason = case.values.compared.reason
    if reason in (comparison.NO_GRAVITY, comparison.NO_ABSORPTION, comparison.NO_ROOM):
        cell = case.cell("oversize_least")
        yield Doubt(
            field=COARSE,
            found=comparison.WORDS[reason],
            expected="an oven-dry bulk specific gravity, or SSD with the absorption",
            mend="measure it, or state it on the reference's sample",
            severity=None if is_complete(case) else Severity.NOTE,
            basis=cell.basis if cell is not None else None,
        )


@warning("oversize-on-other-sieve", "the method's sieve for oversize")
def oversize_on_other_sieve(case: Test) -> Iterator[Doubt]:
    """A coarse fraction on another sieve than the reference's soil passed."""
    facts, split = case.values.reference, case.values.split
    if case.values.compared.reason != comparison.OTHER_SIEVE:
        return
    if facts is not None and split is not None:
        yield Doubt(
            field=("coarse", "sieve"),
            found=split.sieve,
            expected=f"{facts.sieve}, which the soil of {facts.id} passed",
            mend="split the field's soil on that sieve",
        )


@warning(
    "oversize-basis-missing", "AASHTO T 85, ASTM C127: two bulk specific gravities"
)
def oversize_basis_missing(case: Test) -> Iterator[Doubt]:
    """A bulk specific gravity that may be oven-dry or SSD."""
    coarse = case.record.coarse
    own = coarse.specific_gravity if coarse is not None else None
    if own is not None and own.value is not None and own.basis is None:
        yield Doubt(
            field=("coarse", "specific_gravity"),
            found=f"{own.value}, used as oven-dry",
            expected="basis: oven-dry or SSD",
            mend="check the test of the coarse particles: the two differ by the "
            "absorption",
        )


@note("oversize-assumed", "NDDOT T 224 (2011): 2.0 % where not measured")
def oversize_assumed(case: Test) -> Iterator[Doubt]:
    """A comparison that rests on an assumed water content of coarse particles."""
    split, found, water = case.values.split, case.values.compared, case.values.water
    if split is None or split.percent is None or split.water_source != "assumed":
        return
    many = split.percent > least_coarse(case.inputs, case.method)
    if found.corrected or (many and found.water not in (None, water.counts)):
        yield Doubt(
            field=COARSE,
            found=f"{case.word('water_content')} {split.water:g} % of the oversize "
            "assumed",
            expected="a measured value",
            mend="measure it, or accept the flag: the report states the assumption",
        )


@warning("coarse-unlike-reference", COMMON)
def coarse_unlike_reference(case: Test) -> Iterator[Doubt]:
    """The field's coarse fraction is far outside that of the reference's soil."""
    facts, split = case.values.reference, case.values.split
    of = facts.oversize if facts is not None else None
    if facts is None or split is None or split.percent is None or of is None:
        return
    here, there = split.percent, float(of.percent_retained)
    if abs(here - there) > max(FAR_POINTS, FAR_SHARE * there) + 1e-9:
        yield Doubt(
            field=COARSE,
            found=f"{here:.0f} % retained on {split.sieve}",
            expected=f"about {there:.0f} %, as in the soil of {facts.id}",
            mend="find out whether this is the soil of the reference; else test it",
        )


RULES: tuple[Rule[Test], ...] = (
    water_preliminary,
    oven_check_apart,
    gas_pressure_not_for_soil,
    water_basis_missing,
    water_unusual,
    water_like_a_fraction,
    water_of_fines_alone,
    split_incomplete,
    oversize_above_limit,
    oversize_not_corrected,
    oversize_on_other_sieve,
    oversize_basis_missing,
    oversize_assumed,
    coarse_unlike_reference,
)
