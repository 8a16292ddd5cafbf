"""Days that can't follow each other as they are written."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import Any, NamedTuple

from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Field, Rule, Severity


class Dated(NamedTuple):
    """Something that happened: words for it, its day if known, where that stands."""

    words: str
    on: date | None
    field: Field


def in_turn(acts: Sequence[Dated]) -> Iterator[Doubt]:
    """Doubt each act dated before the last known one ahead of it."""
    last: Dated | None = None
    for act in acts:
        if act.on is None:
            continue
        if last is not None and last.on is not None and act.on < last.on:
            yield Doubt(
                field=act.field,
                found=f"{act.words} on {act.on}",
                expected=f"on or after {last.on}, when it was {last.words}",
                mend="look for a slip in one of the two days",
            )
        last = act


def dates_rule(check: Callable[[Any], Iterable[Doubt]]) -> Rule[Case[Any, Any]]:
    """Make the rule: one flag, whichever kind of record raises it."""
    return Rule("dates-out-of-order", Severity.ERROR, "common practice", check)
