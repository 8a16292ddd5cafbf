"""Compaction curves: forms, their fit, and the peak of each, in plain Python."""

from buildsite.soil.curves.automatic import AUTO
from buildsite.soil.curves.fitting import fit
from buildsite.soil.curves.forms import FORMS
from buildsite.soil.curves.shape import Curve, Form, Line, NoPeak, Solids, sample

__all__ = [
    "AUTO",
    "FORMS",
    "Curve",
    "Form",
    "Line",
    "NoPeak",
    "Solids",
    "fit",
    "sample",
]
