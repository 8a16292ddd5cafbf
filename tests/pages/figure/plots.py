"""Plots of many shapes, as tests draw them: no outcome is needed for a figure."""

from collections.abc import Iterator
from random import Random

from buildsite.kinds.sheet import Axis, Dot, Line, Plot

GRAVITIES = (2.6, 2.65, 2.7, 2.78)
WORDS = ("zero air voids", "100 % saturation curve", "zero air voids curve")
UNITS = (("lb/ft³", 62.43, 5.0, 1), ("kg/m³", 1000.0, 50.0, 0), ("kN/m³", 9.81, 0.5, 2))


def plot_of(random: Random) -> Plot:
    """A test such as comes from a laboratory: points near a curve under saturation."""
    unit, water, step, decimals = random.choice(UNITS)
    gravity = random.choice(GRAVITIES)
    optimum, top = random.uniform(6, 26), 0.0
    # Phase relations: at saturation S the dry density is Gs * water / (1 + w Gs / S).
    top = gravity * water / (1 + optimum / 100 * gravity / random.uniform(0.75, 0.95))
    curvature = top * random.uniform(0.0008, 0.005)
    n = random.randint(3, 8)
    width = random.uniform(1.2, 2.5) * n
    waters = [
        optimum + width * (i / (n - 1) - random.uniform(0.3, 0.7)) for i in range(n)
    ]
    waters = [max(0.5, one) for one in waters]
    points = [
        (w, top - curvature * (w - optimum) ** 2 + random.gauss(0, 0.004) * top)
        for w in waters
    ]
    return Plot(
        "curve",
        "Compaction curve",
        *axes(points, top, step, unit),
        lines=tuple(
            lines(points, optimum, top, curvature, (gravity, water, step), random)
        ),
        dots=tuple(dots(points, optimum, top, f"{top:.{decimals}f} {unit}", random)),
        alt=f"{n} points",
    )


def axes(
    points: list[tuple[float, float]], top: float, step: float, unit: str
) -> tuple[Axis, Axis]:
    """Round windows around the points."""
    low = int(min(w for w, _ in points))
    high = max(low + 8, int(max(w for w, _ in points)) + 1)
    floor = min(int(min(d for _, d in points) / step) - 1, int(top / step) - 3)
    return (
        Axis("Water content", "%", low, high, 1.0 if high - low <= 10 else 2.0, 0),
        Axis(
            "Dry density",
            unit,
            floor * step,
            (int(top / step) + 2) * step,
            step,
            1 if step < 1 else 0,
        ),
    )


def lines(
    points: list[tuple[float, float]],
    optimum: float,
    top: float,
    curvature: float,
    solids: tuple[float, float, float],
    random: Random,
) -> Iterator[Line]:
    """Curve, zero air voids, and the drops from the peak."""
    gravity, water, step = solids
    first, last = min(points)[0], max(points)[0]
    waters = [first + (last - first) * i / 60 for i in range(61)]
    yield Line(
        "curve",
        tuple(waters),
        tuple(top - curvature * (w - optimum) ** 2 for w in waters),
    )
    x, y = axes(points, top, step, "")
    yield Line("drop", (optimum, optimum), (top, y.low))
    yield Line("drop", (optimum, x.low), (top, top))
    waters = [x.low + (x.high - x.low) * i / 30 for i in range(31)]
    if random.random() < 0.9:
        yield Line(
            "air-voids",
            tuple(waters),
            tuple(gravity * water / (1 + w / 100 * gravity) for w in waters),
            f"{random.choice(WORDS)}, Gs {gravity}",
        )


def dots(
    points: list[tuple[float, float]],
    optimum: float,
    top: float,
    reported: str,
    random: Random,
) -> Iterator[Dot]:
    """Points, one of them rejected at times, and the peak."""
    for number, (water, density) in enumerate(points, 1):
        rejected = len(points) > 4 and random.random() < 0.1
        yield Dot("rejected" if rejected else "point", water, density, number)
    yield Dot("peak", optimum, top, label=f"{reported} at {optimum:.1f} %")


def many(count: int) -> list[Plot]:
    """Plots that are the same at every run."""
    return [plot_of(Random(seed)) for seed in range(count)]  # noqa: S311 (not a secret)
