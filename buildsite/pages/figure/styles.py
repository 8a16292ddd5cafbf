"""How the lines, marks, texts and grounds of figures look."""

from typing import Any

from buildsite.pages.figure.boxes import SIZE

INK, CURVE, SOFT, HAIR = "#1c2326", "#14506b", "#57606a", "#dfe3e6"
STOP, TINT = "#96240f", "#b5d6b8"
"""Colors, all on white: text and marks; the curve; other lines; the grid; limits and
failures; the window of acceptance."""

LINES: dict[str, dict[str, Any]] = {
    "curve": {"color": CURVE, "linewidth": 2.0},
    "curve-before": {"color": INK, "linewidth": 1.6, "dashes": (7, 2, 1.5, 2)},
    "air-voids": {"color": SOFT, "linewidth": 1.4, "dashes": (6, 3)},
    "leader": {"color": CURVE, "linewidth": 0.7},
    "drop": {"color": SOFT, "linewidth": 0.9, "dashes": (1, 2.5)},
    "limit": {"color": STOP, "linewidth": 1.4, "dashes": (8, 2.5)},
    "move": {"color": SOFT, "linewidth": 1.1},
}
WINDOW = "window"
"""The kind of line whose inside is shaded: an outline that ends where it began."""

HOLLOW = {"color": INK, "markerfacecolor": "white"}
PALE = {"color": SOFT, "markerfacecolor": "white"}
MARKS: dict[str, dict[str, Any]] = {
    "point-before": {"marker": "o", "markersize": 6, "markeredgewidth": 1.2, **PALE},
    "peak-before": {"marker": "+", "markersize": 12, "markeredgewidth": 1.2, **PALE},
    "point": {"marker": "o", "markersize": 7, "color": INK},
    "second": {"marker": "s", "markersize": 6.5, "markeredgewidth": 1.2, **HOLLOW},
    "rejected": {"marker": "o", "markersize": 8, "markeredgewidth": 1.4, **HOLLOW},
    "failed": {"marker": "x", "markersize": 8, "markeredgewidth": 2.2, "color": STOP},
    "peak": {"marker": "+", "markersize": 14, "markeredgewidth": 1.4, "color": INK},
    "governing": {"marker": "D", "markersize": 8, "color": CURVE},
}

GROUND, GRID, TICKS = "ground", "grid", "ticks"
"""The white ground of labels; the grid; the axes with their ticks."""

PATCHES: dict[str, dict[str, Any]] = {
    GROUND: {"facecolor": "white", "edgecolor": "none"},
    WINDOW: {"facecolor": TINT, "edgecolor": "none", "alpha": 0.5},
    GRID: {"facecolor": "none", "edgecolor": HAIR, "linewidth": 0.8},
    TICKS: {"facecolor": "none", "edgecolor": SOFT, "linewidth": 0.8},
}
LEFT, CENTER, RIGHT = "left", "center", "right"
"""Texts, by the side of them that stands at their place."""

TEXT: dict[str, Any] = {"color": INK, "fontsize": SIZE}
