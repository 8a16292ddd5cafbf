"""The particulars of a family of curves."""

from typing import Any

from buildsite.kinds.bench_spec import Bench
from buildsite.kinds.kind import Case
from buildsite.kinds.particulars.asking import REMARKS, chosen, part, text
from buildsite.kinds.particulars.laboratory import several

PARTS = (
    part(
        "Family of curves",
        (),
        text("name", "Name of the family"),
        text("source", "Source of the soils"),
        several("members", "Members, test numbers"),
    ),
    REMARKS,
)


def particulars(case: Case[Any, Any], about: str) -> Bench:
    """Return the questions about a family: its name, its source, its members."""
    return chosen(PARTS, about)
