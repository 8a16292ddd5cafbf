"""Compaction curves: their types, fits and peaks, in plain Python."""

from buildsite.soil.curves.fitting import AUTO, FORMS, Fits, fit, fits_of
from buildsite.soil.curves.shape import (
    SCATTER,
    Curve,
    Form,
    Line,
    NoPeak,
    Solids,
    sample,
)
from buildsite.soil.curves.spread import TOLERANCE, Spread, spread

__all__ = [
    "AUTO",
    "FORMS",
    "SCATTER",
    "TOLERANCE",
    "Curve",
    "Fits",
    "Form",
    "Line",
    "NoPeak",
    "Solids",
    "Spread",
    "fit",
    "fits_of",
    "sample",
    "spread",
]
