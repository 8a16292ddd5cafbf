"""
The kinds of record, one line each.

A kind is imported on first use: `check` of one test must not wait for other models.
"""

import sys
from functools import cache
from importlib import import_module
from typing import Any

from buildsite.kinds.kind import Kind

KIND_FILES = {
    # kind: its group, and the module with its KIND
    "laboratory": ("laboratory", "laboratory.lab"),
    "project": ("project", "laboratory.project"),
    "sample": ("sample", "laboratory.sample"),
    "mold": ("equipment", "equipment.mold"),
    "rammer": ("equipment", "equipment.rammer"),
    "balance": ("equipment", "equipment.balance"),
    "oven": ("equipment", "equipment.oven"),
    "sieve": ("equipment", "equipment.sieve"),
    "pycnometer": ("equipment", "equipment.pycnometer"),
    "sand-cone": ("equipment", "equipment.sand_cone"),
    "drive-cylinder": ("equipment", "equipment.drive_cylinder"),
    "gauge": ("equipment", "equipment.gauge"),
    "balloon": ("equipment", "equipment.balloon"),
    "family-of-curves": ("family", "laboratory.family"),
    "moisture-density": ("test", "tests.moisture_density"),
    "one-point": ("test", "tests.one_point"),
    "water-content": ("test", "tests.water_content"),
    "coarse-fraction": ("test", "tests.coarse_fraction"),
    "specific-gravity": ("test", "tests.specific_gravity"),
    "field-density": ("test", "tests.field_density"),
    "lift-acceptance": ("test", "tests.lift_acceptance"),
    "daily-report": ("test", "tests.daily_report"),
}
"""Every kind, by the name in a record's `kind:` line."""

GROUPS = {name: group for name, (group, _) in KIND_FILES.items()}
"""Group of each kind: laboratory, project, sample, equipment, test."""


@cache
def kind_named(name: str) -> Kind[Any, Any] | None:
    """Return the kind of that name; None if there is none."""
    if name not in KIND_FILES:
        return None
    _, file = KIND_FILES[name]
    found: Kind[Any, Any] = import_module(f"buildsite.kinds.{file}").KIND
    return found


def all_kinds() -> tuple[Kind[Any, Any], ...]:
    """Return every kind in order; this imports them all."""
    return tuple(kind for name in KIND_FILES if (kind := kind_named(name)) is not None)


def kinds_at_hand() -> tuple[Kind[Any, Any], ...]:
    """Return the kinds that are imported already, in order."""
    loaded = (
        name
        for name, (_, file) in KIND_FILES.items()
        if f"{__name__}.{file}" in sys.modules
    )
    return tuple(kind for name in loaded if (kind := kind_named(name)) is not None)
