"""Values that are held while something lasts, and made anew at any other time."""

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from typing import Generic, TypeVar

V = TypeVar("V")


class Meanwhile(Generic[V]):
    """
    Values by their keys, which say all that they depend on.

    >>> squares: Meanwhile[list[int]] = Meanwhile()
    >>> squares.get(3, lambda: [9]) is squares.get(3, lambda: [9])
    False
    >>> with squares.held():
    ...     squares.get(3, lambda: [9]) is squares.get(3, lambda: [9])
    True
    """

    def __init__(self) -> None:
        self._held: list[dict[Hashable, V]] = []

    @contextmanager
    def held(self) -> Iterator[None]:
        """Hold what is made in the meantime."""
        self._held.append({})
        try:
            yield
        finally:
            self._held.pop()

    def get(self, key: Hashable, make: Callable[[], V]) -> V:
        """Return a value, made if it is not held."""
        if not self._held:
            return make()
        held = self._held[-1]
        if key not in held:
            held[key] = make()
        return held[key]
