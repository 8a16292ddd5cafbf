"""
Forms of `used`: what of the answers an issued item's digest covers.

A later program hands more to the computation and the report. Each answer or field that
it adds declares the form with which it enters (`answers.since`, `answers.FORM`). An
item states its form, and is compared by what that form covers: so an upgrade alone
changes no issued test. Form 1 covers all that declares no form.
"""

from collections.abc import Iterator
from dataclasses import Field, fields, is_dataclass
from functools import cache
from typing import Any

from buildsite.kinds import answers, field_answers
from buildsite.kinds.answers import FIRST_FORM, FORM


def form_of(part: type | Field[Any]) -> int:
    """Return the form with which an answer's class, or a field of one, entered."""
    if isinstance(part, type):
        return int(getattr(part, FORM, FIRST_FORM))
    return int(part.metadata.get(FORM, FIRST_FORM))


def covers(form: int, part: type | Field[Any]) -> bool:
    """Whether a form covers an answer or a field; no form covers `answers.NEVER`."""
    return FIRST_FORM <= form_of(part) <= form


def _declared() -> Iterator[int]:
    """Yield the form of every answer and of every field of one."""
    for one in (*vars(answers).values(), *vars(field_answers).values()):
        if isinstance(one, type) and is_dataclass(one):
            yield form_of(one)
            yield from map(form_of, fields(one))


@cache
def current_form() -> int:
    """Return the form of new items: the latest that an answer or a field declares."""
    return max(_declared())
