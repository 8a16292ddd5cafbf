"""A curve of a few hundred bytes, for a row of a list: its shape and its peak."""

from collections.abc import Sequence

from buildsite.kinds.sheet import Pair

WIDTH, HEIGHT, RIM = 640, 256, 40
"""Size in tenths of a pixel, and the room that the mark of the peak needs."""

MOST = 24
"""Places along a small curve: at 64 pixels more can't be told apart."""


def small_curve(points: Sequence[Pair], peak: Pair | None = None) -> str:
    """
    Return a curve as an inline SVG of less than 1 KB; "" where there is no curve.

    `points` are places along it, in any unit. It is drawn to fill its cell, so it shows
    a shape, and no value. Screen readers pass over it: the row has the numbers.
    """
    way = thinned(points)
    if len(way) < 2:
        return ""
    marks = (*way, *((peak,) if peak is not None else ()))
    xs, ys = [x for x, _ in marks], [y for _, y in marks]
    low, foot = min(xs), min(ys)
    wide, tall = max(xs) - low, max(ys) - foot

    def place(at: Pair) -> tuple[int, int]:
        across = (at[0] - low) / wide if wide else 0.5
        up = (at[1] - foot) / tall if tall else 0.5
        return (
            round(RIM + across * (WIDTH - 2 * RIM)),
            round(HEIGHT - RIM - up * (HEIGHT - 2 * RIM)),
        )

    path = "L".join(f"{x} {y}" for x, y in map(place, way))
    dot = ""
    if peak is not None:
        x, y = place(peak)
        dot = f'<circle cx="{x}" cy="{y}" r="28"/>'
    return (
        f'<svg class="small-curve" viewBox="0 0 {WIDTH} {HEIGHT}" width="64" '
        f'height="26" aria-hidden="true"><path d="M{path}"/>{dot}</svg>'
    )


def thinned(points: Sequence[Pair]) -> list[Pair]:
    """Return places evenly chosen along a curve, both ends kept."""
    if len(points) <= MOST:
        return list(points)
    last = len(points) - 1
    return [points[round(i * last / (MOST - 1))] for i in range(MOST)]
