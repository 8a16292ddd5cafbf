"""The case of a compaction test: what its rules and its sheet look at."""

from typing import TypeAlias

from buildsite.kinds.kind import Case
from buildsite.kinds.tests.moisture_density.compute import Values
from buildsite.kinds.tests.moisture_density.model import MoistureDensity

Test: TypeAlias = Case[MoistureDensity, Values]
