"""The uses of equipment by tests, as pages of equipment ask for them."""

from collections.abc import Mapping, Sequence
from typing import Any

from buildsite.asked import Question, ask
from buildsite.building.answers import listed
from buildsite.cache.value_forms import form_of
from buildsite.kinds.equipment.uses import TestUse, by_equipment
from buildsite.kinds.traces import Standard, Trace, Use

USES = form_of(tuple[str, Standard | None, tuple[Use, ...]])
"""Id of a test, its standard, what it used."""

Used = list[Any]
"""The same in JSON."""


def uses_in(trace: Trace | None) -> Used:
    """Return what a test used; nothing of one without."""
    if trace is None or not trace.uses:
        return []
    found: Used = USES.write((trace.id, trace.standard, trace.uses))
    return found


def moved(before: Mapping[str, Used], now: Mapping[str, Used]) -> set[Question]:
    """Return the questions whose answers may have moved."""
    found: set[Question] = set()
    for file in {*before, *now}:
        old, new = before.get(file) or [], now.get(file) or []
        if old is not new and old != new:
            uses = (use for one in (old, new) if one for use in one[2])
            found.update(("uses", use[0]) for use in uses)
    return found


class UseTable:
    """The uses of each piece of equipment; `used` is what each test used, by file."""

    def __init__(self, used: Mapping[str, Used]) -> None:
        self._by_piece: dict[str, list[tuple[str, Used]]] = {}
        for file, one in used.items():
            for id in dict.fromkeys(use[0] for use in one[2]) if one else ():
                self._by_piece.setdefault(id, []).append((file, one))

    def of(self, equipment: str) -> Sequence[TestUse]:
        """Return the uses of a piece of equipment, by date and test."""
        ask("uses", equipment)
        found = (
            (file, *USES.read(one)) for file, one in self._by_piece.get(equipment, ())
        )
        traces = (
            Trace(file, id, (), (), uses=uses, standard=standard)
            for file, id, standard, uses in found
        )
        return by_equipment(traces).get(equipment, ())

    def answer(self, equipment: str) -> str:
        """Return the digest of the uses of a piece of equipment."""
        return listed(
            f"{file} {one[:2]} {[use for use in one[2] if use[0] == equipment]}"
            for file, one in self._by_piece.get(equipment, ())
        )
