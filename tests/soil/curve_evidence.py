"""
Every curve type over published, made-up and hard sets: docs/curve-forms.md.

Write it again with `python -m tests.soil.curve_evidence`; a test checks it is current.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import fsum, inf
from pathlib import Path

from buildsite.soil.curves import AUTO, FORMS, SCATTER, Curve, NoPeak, fit
from buildsite.soil.curves.near import FAR, HIGH, MANY, NEAR, TIED, UNEVEN
from buildsite.soil.curves.piecewise import SAME
from tests.soil.known_peaks import (
    NAMES,
    SPACINGS,
    TRIALS,
    TRUTHS,
    Errors,
    Points,
    known_peak_errors,
    rms,
)
from tests.soil.published import example, points, solids

PAGE = Path(__file__).parents[2] / "docs" / "curve-forms.md"
WORDS = Path(__file__).with_name("curve_forms_words.md")
SETS = ("b01", "b02", "b03", "b04", "b05", "b06", "b14", "b18")


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Lay out a table in Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def peak(result: Curve | NoPeak) -> str:
    """Write a peak, or the reason for none."""
    if isinstance(result, NoPeak):
        return f"no peak: {result.reason}"
    return f"{result.peak_dry_density:.0f} at {result.peak_water_content:.1f}"


def forms_table() -> str:
    """List the curve types: name, what it is, fewest points, source."""
    rows = [
        [f"`{form.name}`", form.title, str(form.least), form.source]
        for form in FORMS.values()
    ]
    return table(["curve type", "what it is", "fewest points", "source"], rows)


def published_table() -> str:
    """List the peak by every curve type, and how far the curve passes from a point."""
    rows = []
    for identity in SETS:
        record = example(identity)
        where = ", ".join(f"{water:.1f}" for water, _ in points(identity))
        row = [f"{identity}: {where} %", printed(record["published"])]
        for name in NAMES:
            result = fit(name, points(identity), solids(identity))
            far = ""
            if isinstance(result, Curve):
                farthest = max(map(abs, result.residuals))
                far = f" ({farthest:.0f})" if farthest >= 0.5 else ""
            row.append(peak(result) + far)
        rows.append(row)
    turned = list(zip(*[["set", "printed", *NAMES], *rows], strict=True))
    return table(turned[0], turned[1:])


def printed(published: dict[str, float]) -> str:
    """Write the printed peak; every example with one is in g/cm³ or Mg/m³."""
    if "maximum_dry_density" not in published:
        return "none"
    density = 1000 * published["maximum_dry_density"]
    return f"{density:.0f} at {published['optimum_water_content']}"


@dataclass
class Left:
    """Effects of leaving points out, for one curve type."""

    misses: list[float] = field(default_factory=list)
    density: list[float] = field(default_factory=list)
    water: list[float] = field(default_factory=list)
    lost: int = 0


def leave_out(name: str) -> Left:
    """Leave out each point between the ends in turn: predict it, and see the peak."""
    left = Left()
    for identity in SETS:
        whole, grains = points(identity), solids(identity)
        full = fit(name, whole, grains)
        for i in range(1, len(whole) - 1):
            part = fit(name, whole[:i] + whole[i + 1 :], grains)
            if not isinstance(full, Curve) or part.line is None:
                continue
            water, density = whole[i]
            left.misses.append(100 * (part.line(water) / density - 1))
            if isinstance(part, NoPeak):
                left.lost += 1
                continue
            ratio = part.peak_dry_density / full.peak_dry_density
            left.density.append(100 * (ratio - 1))
            left.water.append(part.peak_water_content - full.peak_water_content)
    return left


def leave_out_table() -> str:
    """List the effects of leaving out one point at a time, by curve type."""
    rows = []
    for name in NAMES:
        left = leave_out(name)
        rows.append(
            [
                f"`{name}`",
                str(len(left.misses)),
                f"{rms(left.misses):.2f}",
                f"{rms(left.density):.2f}",
                f"{rms(left.water):.2f}",
                f"{left.lost}",
            ]
        )
    head = [
        "curve type",
        "points left out",
        "miss of the point, % of density, rms",
        "change of maximum, %, rms",
        "change of optimum, points, rms",
        "peaks lost",
    ]
    return table(head, rows)


def by_spacing(
    found: dict[str, dict[str, Errors]], cell: Callable[[Errors], str]
) -> str:
    """Lay out one figure of the errors: curve types down, spacings across."""
    rows = [
        [f"`{name}`", *(cell(row[spacing]) for spacing in SPACINGS)]
        for name, row in found.items()
    ]
    return table(["curve type", *SPACINGS], rows)


def three(values: Sequence[float]) -> str:
    """Write bias, root mean square and worst."""
    # Adding zero takes the sign from a zero.
    bias = round(fsum(values) / len(values), 2) + 0.0
    return f"{bias:+.2f}, {rms(values):.2f}, {max(map(abs, values)):.2f}"


HARD: dict[str, Points] = {
    "three close, one far": [(10, 1850), (10.5, 1880), (11, 1900), (15, 1800)],
    "the same, scattered": [(10, 1850), (10.5, 1870), (11, 1900), (15, 1805)],
    "three close, one far and low": [(10, 1900), (10.5, 1930), (11, 1975), (15, 1700)],
    "steep, then nothing": [(8, 1700), (10, 1900), (18, 1895), (20, 1700)],
    "one reading far too low": [
        (8, 1850),
        (10, 1920),
        (12, 1820),
        (14, 1900),
        (16, 1850),
    ],
    "repeated water content": [
        (8, 1850),
        (10, 1925),
        (10, 1915),
        (12, 1950),
        (14, 1900),
    ],
    "repeated at the top": [
        (8, 1850),
        (10, 1920),
        (12, 1955),
        (12.03, 1945),
        (14, 1900),
    ],
    "two tops alike": [(10, 1900), (12, 1950), (14, 1950), (16, 1900)],
    "sand, bulked": [(2, 1720), (5, 1690), (8, 1700), (11, 1735), (14, 1725)],
    "sand, level": [(2, 1700), (5, 1695), (8, 1702), (11, 1700), (14, 1690)],
    "sand, dry is densest": [(0.5, 1760), (3, 1735), (6, 1720), (9, 1725), (12, 1700)],
    "still rising": [(8, 1800), (10, 1850), (12, 1890), (14, 1920)],
    "far quadratic": [(6, 1700), (8, 1720), (10, 1760), (12, 1990), (14, 1880)],
}


def hard_table() -> str:
    """List the results on sets designed to cause trouble."""
    rows = []
    for title, found in HARD.items():
        auto = fit(AUTO, found)
        drawn = f" by `{auto.form}`" if isinstance(auto, Curve) else ""
        top = max(density for _, density in found)
        others = [fit(name, found) for name in ("quadratic", "cubic-spline")]
        rows.append(
            [
                f"{title}: {', '.join(f'{w:g} % {d:g}' for w, d in found)}",
                peak(auto) + drawn + above(auto, top),
                *(peak(other) + above(other, top) for other in others),
            ]
        )
    return table(["set", "`auto`", "`quadratic`", "`cubic-spline`"], rows)


def above(result: Curve | NoPeak, top: float) -> str:
    """Write how high a peak stands above the highest point, and how far it misses."""
    if isinstance(result, NoPeak):
        return ""
    far = max(map(abs, result.residuals), default=inf)
    return f"; {100 * (result.peak_dry_density / top - 1):+.1f} %, misses {far:.0f}"


Moving = tuple[str, Callable[[float], Points], Sequence[float]]
"""A set in words, the same as a function of one value, and some values."""

STEPS: Sequence[Moving] = (
    (
        "8 % 1850, 10 % 1920, 12 % 1950, and 1880 a gap wetter",
        lambda gap: [(8, 1850), (10, 1920), (12, 1950), (12 + gap, 1880)],
        (4.0, 5.0, 5.99, 6.0, 6.01, 7.0, 8.0),
    ),
    (
        "7.7 % 1786, 9.5 % 1881, 11 % 1943, 14.7 % 1891, and a density at 13 %",
        lambda dry: [(7.7, 1786), (9.5, 1881), (11, 1943), (13, dry), (14.7, 1891)],
        (1937, 1940, 1942.9, 1943.0, 1943.1, 1946, 1949),
    ),
)


def steps_table() -> str:
    """List how the peak by `auto` moves as one reading does."""
    rows = []
    for title, made, values in STEPS:
        for value in values:
            result = fit(AUTO, made(value))
            assert isinstance(result, Curve), title
            cell = f"{result.peak_dry_density:.1f} at {result.peak_water_content:.2f}"
            rows.append([title, f"{value:g}", cell, f"`{result.form}`"])
    return table(["points", "value", "peak", "drawn as"], rows)


def page() -> str:
    """Put the page together from its words and its tables."""
    exact, scattered = known_peak_errors(0.0), known_peak_errors(1.0)
    return WORDS.read_text(encoding="utf-8").format(
        forms=forms_table(),
        scatter=f"{100 * SCATTER:g} %",
        near=f"{NEAR:g}",
        far=f"{FAR:g}",
        few={5.0: "five"}[MANY[0]],
        many={7.0: "seven"}[MANY[1]],
        tied=f"{100 * TIED:g} %",
        uneven=" to ".join(f"{one:g}" for one in UNEVEN),
        high=" to ".join(f"{100 * one:g}" for one in HIGH) + " %",
        steps=steps_table(),
        same=f"{SAME:g} %",
        published=published_table(),
        left_out=leave_out_table(),
        exact_density=by_spacing(exact, lambda found: three(found.density)),
        exact_water=by_spacing(exact, lambda found: three(found.water)),
        density=by_spacing(scattered, lambda found: three(found.density)),
        water=by_spacing(scattered, lambda found: three(found.water)),
        none=by_spacing(scattered, lambda found: f"{found.none:.0f}"),
        hard=hard_table(),
        trials=TRIALS,
        truths=", ".join(TRUTHS),
    )


if __name__ == "__main__":
    PAGE.parent.mkdir(exist_ok=True)
    PAGE.write_text(page(), encoding="utf-8")
