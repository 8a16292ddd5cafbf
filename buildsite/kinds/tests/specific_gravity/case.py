"""The case of a specific gravity test: what its rules and its sheet look at."""

from typing import TypeAlias

from buildsite.kinds.kind import Case
from buildsite.kinds.tests.specific_gravity.compute import Values
from buildsite.kinds.tests.specific_gravity.model import SpecificGravityTest

Test: TypeAlias = Case[SpecificGravityTest, Values]
