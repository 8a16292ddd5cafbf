"""The case of a specific gravity test: what its rules and its sheet look at."""

from typing import TypeAlias

from buildsite.kinds.kind import Case
from buildsite.kinds.specific_gravity.compute import Values
from buildsite.kinds.specific_gravity.model import SpecificGravityTest

Test: TypeAlias = Case[SpecificGravityTest, Values]
