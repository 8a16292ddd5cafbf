"""A mold, or a mould: as the standard that a test follows writes it."""

from collections.abc import Iterable
from dataclasses import replace

from buildsite.kinds.bench_spec import Part
from buildsite.standards.tables import Method


def written(text: str, method: Method | None) -> str:
    """Write words for a person; names of the record's fields stay what they are."""
    if method is None or "mold" not in text.lower():
        return text
    word = method.word("mold")
    return text.replace("mold", word).replace("Mold", word.capitalize())


def all_written(texts: Iterable[str], method: Method | None) -> tuple[str, ...]:
    """Write several sentences."""
    return tuple(written(text, method) for text in texts)


def parts_written(parts: Iterable[Part], method: Method | None) -> tuple[Part, ...]:
    """Write what a bench asks for. What may be answered is as a record has it."""
    return tuple(
        replace(
            part,
            title=written(part.title, method),
            readings=tuple(
                replace(one, words=written(one.words, method)) for one in part.readings
            ),
        )
        for part in parts
    )
