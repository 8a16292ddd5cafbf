"""The case of a coarse fraction: what its rules and its sheet look at."""

from typing import TypeAlias

from buildsite.kinds.kind import Case
from buildsite.kinds.tests.coarse_fraction.compute import Values
from buildsite.kinds.tests.coarse_fraction.model import CoarseFraction

Test: TypeAlias = Case[CoarseFraction, Values]
