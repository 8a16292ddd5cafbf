"""
What was asked while something was made, so that it is made again when an answer moves.

The archive notes every question that its answers depend on: the bytes of a file, the
files of an id, a listing, the commits of a path. A value that is kept within a process
keeps its questions too, and whoever takes it asks them as well. Nothing is declared by
hand, so nobody can forget to declare it.
"""

from collections.abc import (
    Callable,
    Collection,
    Hashable,
    Iterator,
    Mapping,
    Sequence,
)
from contextlib import contextmanager
from typing import Generic, TypeAlias, TypeVar, overload

Question: TypeAlias = tuple[str, ...]
"""Sort of question (`file`, `named`, `commits` …), and of what it is asked."""

V = TypeVar("V")

_OPEN: list[set[Question]] = []
"""The questions of each value that is being made, the innermost last."""


def ask(*question: str) -> None:
    """Note a question for the value that is being made, if any is."""
    if _OPEN:
        _OPEN[-1].add(question)


def is_noted() -> bool:
    """Whether a value is being made that notes its questions."""
    return bool(_OPEN)


def ask_again(questions: Collection[Question]) -> None:
    """Note the questions of a value that was made before."""
    if _OPEN:
        _OPEN[-1].update(questions)


@contextmanager
def questions() -> Iterator[set[Question]]:
    """
    Collect the questions of a value while it is made; they are those of its user too.

    >>> with questions() as outer:
    ...     with questions() as inner:
    ...         ask("file", "records/lab.yaml")
    >>> outer == inner == {("file", "records/lab.yaml")}
    True
    """
    own: set[Question] = set()
    _OPEN.append(own)
    try:
        yield own
    finally:
        _OPEN.pop()
        ask_again(own)


@contextmanager
def aside() -> Iterator[None]:
    """
    Make something whose questions are not those of its user, who asks for the whole.

    >>> with questions() as asked, aside():
    ...     ask("file", "records/lab.yaml")
    >>> asked
    set()
    """
    _OPEN.append(set())
    try:
        yield
    finally:
        _OPEN.pop()


class Kept(Generic[V]):
    """Values made once, each kept with what was asked for it."""

    def __init__(self) -> None:
        self._held: dict[Hashable, tuple[V, frozenset[Question]]] = {}

    def get(self, key: Hashable, make: Callable[[], V]) -> V:
        """Return a value, made if it is not kept."""
        found = self._held.get(key)
        if found is None:
            with questions() as own:
                value = make()
            self._held[key] = value, frozenset(own)
            return value
        ask_again(found[1])
        return found[0]

    def __contains__(self, key: Hashable) -> bool:
        """Whether a value is kept."""
        return key in self._held

    def forget(self, key: Hashable) -> None:
        """Forget one."""
        self._held.pop(key, None)

    def clear(self) -> None:
        """Forget them."""
        self._held.clear()


class Names(Sequence[str]):
    """
    Names of files. To go through them asks for the listing, to look for one for it.

    >>> names = Names(["records/lab.yaml"], "names")
    >>> with questions() as asked:
    ...     "records/other.yaml" in names
    False
    >>> asked
    {('file', 'records/other.yaml')}
    """

    def __init__(self, names: Sequence[str], listing: str) -> None:
        self.unasked = tuple(names)
        self._set = frozenset(names)
        self._listing = listing

    def __contains__(self, name: object) -> bool:
        """Whether a file is there."""
        ask("file", str(name))
        return self.holds(name)

    def holds(self, name: object) -> bool:
        """Whether a file is there, without a question: the caller asks another."""
        return name in self._set

    def __iter__(self) -> Iterator[str]:
        """Go through all names."""
        ask(self._listing)
        return iter(self.unasked)

    def __len__(self) -> int:
        """Count them."""
        ask(self._listing)
        return len(self.unasked)

    @overload
    def __getitem__(self, at: int) -> str: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[str]: ...
    def __getitem__(self, at: int | slice) -> str | Sequence[str]:
        """Return a name by its place."""
        ask(self._listing)
        return self.unasked[at]


class Asking(Mapping[str, V]):
    """
    A mapping in which each look-up is a question.

    >>> with questions() as asked:
    ...     Asking({"records/lab.yaml": 2}, "commits").get("records/lab.yaml")
    2
    >>> asked
    {('commits', 'records/lab.yaml')}
    """

    def __init__(self, held: Mapping[str, V], sort: str) -> None:
        self._held = held
        self._sort = sort

    def __getitem__(self, key: str) -> V:
        """Look one up."""
        ask(self._sort, key)
        return self._held[key]

    def __iter__(self) -> Iterator[str]:
        """Go through all keys, which is no question with an answer in a text."""
        raise TypeError("whoever goes through all of it relies on all of it")

    def __len__(self) -> int:
        """Count them; likewise."""
        raise TypeError("whoever counts all of it relies on all of it")


def unasked(names: Collection[str]) -> Collection[str]:
    """Return names to look things up by, without a question: a look-up asks its own."""
    return names.unasked if isinstance(names, Names) else names
