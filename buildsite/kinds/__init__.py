"""What a laboratory keeps: one kind a file, one line a kind."""

from typing import Any

from buildsite.kinds import devices, lab, moisture_density, mold, project, sample
from buildsite.kinds.kind import Kind

KINDS: tuple[Kind[Any, Any], ...] = (
    lab.KIND,
    project.KIND,
    sample.KIND,
    mold.KIND,
    devices.RAMMER,
    devices.BALANCE,
    devices.OVEN,
    devices.SIEVE,
    moisture_density.KIND,
)
