"""The record of a family of curves."""

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from buildsite.kinds.field_answers import FamilyFacts
from buildsite.kinds.kind import Case
from buildsite.record.reading import Id, Model, Remarks, Text


class Family(Model):
    """The members of a family: compaction tests of one method and effort."""

    format: Literal["1"] = "1"
    kind: Literal["family-of-curves"]
    id: Id
    project: Id | None = None
    name: Text | None = None
    source: Annotated[
        Text | None, Field(description="Where the soils come from, as one borrow pit.")
    ] = None
    members: Annotated[tuple[Id, ...], Field(max_length=60)]
    remarks: Remarks | None = None


FamilyCase: TypeAlias = Case[Family, FamilyFacts]
"""A family with the curves of its members."""
