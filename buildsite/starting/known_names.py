"""Answers about a new record, with the names that people type as they are known."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.kinds.kind import Kind
from buildsite.kinds.sieves import sieve_name
from buildsite.record.typed_names import UnknownName, known_name
from buildsite.standards.soils import class_name
from buildsite.standards.tables import designations, standard


def names_for(
    archive: Archive, kind: Kind[Any, Any], answers: Mapping[str, str], name: str
) -> Sequence[str]:
    """
    Return the names that answer a question; none where anything may.

    Parameters
    ----------
    archive, kind
        The archive, and the kind of record.
    answers
        The answers so far: the methods are those of its standard.
    name
        The question.
    """
    if name == "standard":
        return designations(kind.standards_of)
    if name == "method":
        known = standard(answers.get("standard", ""))
        return known.methods if known is not None else ()
    if name in MAY_BE_NEW:
        return archive.ids(name)
    asks = kind.blank.asks if kind.blank is not None else ()
    return next((ask.choices for ask in asks if ask.name == name), ())


MAY_BE_NEW = ("project", "sample")
"""Names that others check: one that is not on file is left as typed."""


SPELLED: Mapping[str, Callable[[str], str]] = {
    "opening": sieve_name,
    "soil_class": class_name,
}
"""Names that may be others than those known: known ones are spelled as usual."""


def as_known(
    archive: Archive, kind: Kind[Any, Any], answers: Mapping[str, str], name: str
) -> str:
    """Return an answer as its name is known; UnknownName where it is not."""
    names = names_for(archive, kind, answers, name)
    typed = answers.get(name, "")
    if name in SPELLED:
        return SPELLED[name](typed)
    if not names or not typed.strip():
        return typed
    try:
        return known_name(typed, names)
    except UnknownName:
        if name in MAY_BE_NEW:
            return typed
        raise
