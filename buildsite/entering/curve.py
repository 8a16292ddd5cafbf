"""A small curve in plain characters: points by number, with `?` where estimated."""

from collections.abc import Sequence

from buildsite.kinds.bench_spec import Progress

Pair = tuple[float, float]

NARROWEST = 24
"""Least number of columns for a curve."""


ESTIMATED = "?: estimated"
"""Of points whose water content is not yet known from the oven."""


def draw_curve(progress: Progress, width: int, height: int = 7) -> tuple[str, ...]:
    """Draw the points and any line; nothing with fewer than two points or no room."""
    pairs = [pair for _, pair in progress.points]
    if len(pairs) < 2 or width < NARROWEST:
        return ()
    every = [*pairs, *progress.line]
    along, up = span([x for x, _ in every]), span([y for _, y in every])
    lead = max(len(mark(value)) for value in up)
    columns = width - lead - 3
    grid = [[" "] * columns for _ in range(height)]

    def put(pair: Pair, sign: str) -> None:
        x, y = place(pair[0], along, columns), place(pair[1], up, height)
        for i, one in enumerate(sign, start=min(x, columns - len(sign))):
            grid[height - 1 - y][i] = one

    for pair in progress.line:
        put(pair, ".")
    for number, pair in progress.points:
        sign = str(number) if number < 10 else "*"
        put(pair, f"{sign}?" if number in progress.estimated else sign)
    rows = [f"{'':>{lead}} |{''.join(row)}".rstrip() for row in grid]
    rows[0] = f"{mark(up[1]):>{lead}} |{''.join(grid[0])}".rstrip()
    rows[-1] = f"{mark(up[0]):>{lead}} |{''.join(grid[-1])}".rstrip()
    low, high = f"{along[0]:.1f}", f"{along[1]:.1f}"
    gap = columns - len(low) - len(high)
    across, above = progress.axes
    return (
        (f"{above}   {ESTIMATED}" if progress.estimated else above)[:width],
        *rows,
        f"{'':>{lead}} +{'-' * columns}",
        f"{'':>{lead}}  {low}{across[: gap - 2]:^{gap}}{high}",
    )


def span(values: Sequence[float]) -> Pair:
    """Return least and greatest value, never equal."""
    low, high = min(values), max(values)
    return (low, high) if high > low else (low - 0.5, high + 0.5)


def place(value: float, span: Pair, cells: int) -> int:
    """
    Return the cell of a value.

    >>> place(5.0, (0.0, 10.0), 11), place(10.0, (0.0, 10.0), 11)
    (5, 10)
    """
    return round((value - span[0]) / (span[1] - span[0]) * (cells - 1))


def mark(value: float) -> str:
    """
    Write a value at an axis, with at most four figures.

    >>> mark(1828.3), mark(119.62)
    ('1828', '119.6')
    """
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.1f}"
