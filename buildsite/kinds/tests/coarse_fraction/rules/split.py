"""What the fractions of a split say: of themselves, and of the whole."""

from collections.abc import Iterator

from buildsite.kinds.tests.coarse_fraction.case import Test
from buildsite.kinds.tests.coarse_fraction.split import PAN, opening_of
from buildsite.kinds.tests.shared.columns import missing_in
from buildsite.kinds.tests.shared.completeness import weight_of_gap
from buildsite.kinds.tests.shared.containers import MASSES
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.soil.rounding import plain, round_half_even

FROM_BENCH = "take it from the bench sheet"


def unknown_sieve(case: Test) -> Iterator[Doubt]:
    """A sieve whose opening nobody knows."""
    record = case.record
    named: list[tuple[Field, str | None]] = [
        (("sieve",), record.sieve),
        (("nominal_maximum",), record.nominal_maximum),
    ]
    named += [
        (("fractions", i, "retained_on"), one.retained_on)
        for i, one in enumerate(record.fractions)
    ]
    named += [
        (("specimens", i, "retained_on"), one.retained_on)
        for i, one in enumerate(record.specimens)
    ]
    for field, name in named:
        if name is not None and opening_of(name) is None:
            yield Doubt(
                field=field,
                found=name,
                expected="a sieve, such as No. 4, 3/4 in or 19 mm",
                mend="write it as it stands on the sieve; pan for what passed the last",
            )


def fraction_twice(case: Test) -> Iterator[Doubt]:
    """Two fractions on one sieve."""
    seen: dict[float, int] = {}
    for i, one in enumerate(case.values.fractions):
        if one.opening_mm is None:
            continue
        first = seen.setdefault(one.opening_mm, i)
        if first != i:
            yield Doubt(
                field=("fractions", i, "retained_on"),
                found=f"{case.record.fractions[i].retained_on}, as fraction "
                f"{first + 1}",
                expected="a sieve of its own",
                mend="look at the bench sheet; add up what one sieve held back",
            )


def not_split_on_sieve(case: Test) -> Iterator[Doubt]:
    """A split that leaves out the oversize sieve, or what passed the last one."""
    openings = [one.opening_mm for one in case.values.fractions]
    wanted = [
        (case.values.opening_mm, case.record.sieve, "the oversize sieve"),
        (0.0, PAN, "what passed the last sieve"),
    ]
    for opening, name, words in wanted:
        if opening is not None and opening not in openings:
            yield Doubt(
                field=("fractions",),
                found="no line for it" if openings else "no fractions",
                expected=f"a fraction retained on {name}, {words}",
                mend=f"{FROM_BENCH}; a mass of 0 where nothing was held back",
                severity=weight_of_gap(case),
            )


def fractions_missing(case: Test) -> Iterator[tuple[int, str]]:
    """Fractions whose dry mass no reading tells, and what is wanting."""
    dried = case.record.split_masses == "dry"
    for i, one in enumerate(case.record.fractions):
        if one.mass is None:
            yield i, "no mass"
        elif one.mass > 0 and not dried and one.water_content is None:
            missing = missing_in(one, MASSES)
            if missing:
                yield i, f"no water content: no {', '.join(missing)}"


def fractions_unlike_total(case: Test) -> Iterator[Doubt]:
    """Fractions that do not add up to the mass before sieving."""
    record, method = case.record, case.method
    masses = [one.mass for one in record.fractions if one.mass is not None]
    whole, unit = record.total_mass, record.units.split
    if whole is None or method is None or len(masses) < len(record.fractions):
        return
    moist = record.split_masses != "dry"
    cell = method.optional("split_agreement_moist" if moist else "split_agreement")
    if cell is None or not masses:
        return
    apart = (sum(masses) - whole) / whole * 100
    if abs(float(apart)) > cell.si:
        shown = plain(round_half_even(abs(float(apart)), 2))
        yield Doubt(
            field=("total_mass",),
            found=f"fractions of {sum(masses)} {unit}, {shown} % "
            f"{'more' if apart > 0 else 'less'} than {whole} {unit}",
            expected=f"within {cell} of the mass before sieving",
            mend="look for a fraction left out or weighed with its pan; weigh again "
            "if the soil is still there",
            basis=cell.basis,
        )


def oversize_wetter_than_stones(case: Test) -> Iterator[Doubt]:
    """Oversize that held far more water than its stones take up."""
    water, stones = case.values.water_content, case.values.gravities
    if water is None or stones is None or water <= stones.absorption + MORE_WATER:
        return
    yield Doubt(
        field=("fractions",),
        found=f"{water:.1f} % of water, absorption {stones.absorption:.1f} %",
        expected=f"at most {MORE_WATER:g} points above the absorption",
        mend="look for fines that stuck to the stones: wash them off into their own "
        "fraction",
    )


MORE_WATER = 2.0
"""Water on the faces of damp stones, in points: common practice."""

RULES: tuple[Rule[Test], ...] = (
    Rule("unknown-sieve", Severity.WARNING, "common practice", unknown_sieve),
    Rule("fraction-twice", Severity.ERROR, "common practice", fraction_twice),
    Rule("split-incomplete", Severity.ERROR, "common practice", not_split_on_sieve),
    Rule(
        "fractions-unlike-total",
        Severity.WARNING,
        "conservation of mass",
        fractions_unlike_total,
    ),
    Rule(
        "oversize-wetter-than-its-stones",
        Severity.WARNING,
        "common practice",
        oversize_wetter_than_stones,
    ),
)
