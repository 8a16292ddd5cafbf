"""The case of a water content: what its rules and its sheet look at."""

from typing import TypeAlias

from buildsite.kinds.kind import Case
from buildsite.kinds.tests.water_content.compute import Values
from buildsite.kinds.tests.water_content.model import WaterContent

Test: TypeAlias = Case[WaterContent, Values]
