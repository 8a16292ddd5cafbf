"""The case of a coarse fraction: what its rules and its sheet look at."""

from typing import TypeAlias

from buildsite.kinds.coarse_fraction.compute import Values
from buildsite.kinds.coarse_fraction.model import CoarseFraction
from buildsite.kinds.kind import Case

Test: TypeAlias = Case[CoarseFraction, Values]
