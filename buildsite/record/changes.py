"""
Differences between two states of a record, field by field.

Texts are compared as written: 13.1 to 13.10 is a change of the record, though not of
the number. A change of `units` affects every reading, so it comes first.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from buildsite.record.compose import Tree
from buildsite.record.flags import Field, field_label
from buildsite.record.messages import quoted
from buildsite.values import dataclass


@dataclass(frozen=True)
class Change:
    """
    One field that differs.

    `old` or `new` is None where the field was absent or blank. An entry added to a
    list or removed from it is one change with the whole entry; a removed entry has its
    number in the old list, all others theirs in the new one.
    """

    field: Field
    old: Any
    new: Any

    @property
    def sort(self) -> str:
        """Added, removed or changed."""
        if self.old is None:
            return "added"
        return "removed" if self.new is None else "changed"

    def __str__(self) -> str:
        """Return the change on one line."""
        return self.text()

    def text(self, after_old: str = "", after_new: str = "") -> str:
        """Return the change on one line, with words after the old and the new value."""
        old, new = _text(self.old) + after_old, _text(self.new) + after_new
        return f"{field_label(self.field)}: {old} → {new}"


def changes(old: Tree, new: Tree) -> tuple[Change, ...]:
    """
    Return the differences of two trees; an empty tree means no record.

    `units` first, then in the order of the new record, removed fields last.

    >>> [str(change) for change in changes({"layers": "3"}, {"layers": "5"})]
    ['layers: 3 → 5']
    """
    found = tuple(_mappings((), old, new))
    return tuple(sorted(found, key=lambda change: change.field[0] != "units"))


def _between(field: Field, old: Any, new: Any) -> Iterator[Change]:
    if old == new:
        return
    if _is(dict, old, new):
        yield from _mappings(field, old or {}, new or {})
    elif _is(list, old, new):
        yield from _lists(field, old or [], new or [])
    else:
        yield Change(field, old, new)


def _is(sort: type, old: Any, new: Any) -> bool:
    """Whether both are of a type, or one is and the other is absent."""
    kinds = {type(side) for side in (old, new) if side is not None}
    return kinds == {sort}


def _mappings(field: Field, old: Tree, new: Tree) -> Iterator[Change]:
    for name in (*new, *(name for name in old if name not in new)):
        yield from _between((*field, name), old.get(name), new.get(name))


def _lists(field: Field, old: Sequence[Any], new: Sequence[Any]) -> Iterator[Change]:
    """
    Pair the entries by number.

    In lists of different lengths, equal entries at both ends are skipped first, so that
    an inserted point doesn't make all later points look changed.
    """
    head = tail = 0
    if len(old) != len(new):
        shorter = min(len(old), len(new))
        while head < shorter and old[head] == new[head]:
            head += 1
        while tail < shorter - head and old[-1 - tail] == new[-1 - tail]:
            tail += 1
    olds, news = old[head : len(old) - tail], new[head : len(new) - tail]
    paired = min(len(olds), len(news))
    for index in range(paired):
        yield from _between((*field, head + index), olds[index], news[index])
    for index in range(paired, len(news)):
        yield Change((*field, head + index), None, news[index])
    for index in range(paired, len(olds)):
        yield Change((*field, head + index), olds[index], None)


def _text(value: Any) -> str:
    if value is None:
        return "not stated"
    if isinstance(value, dict):
        inside = (f"{name}: {_text(inner)}" for name, inner in value.items())
        return f"{{{', '.join(inside)}}}"
    if isinstance(value, list):
        return f"[{', '.join(_text(inner) for inner in value)}]"
    text = str(value)
    return text if text and text.isprintable() else quoted(text, most=10**6)
