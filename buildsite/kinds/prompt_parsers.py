"""When a question about a new record is asked, and how an answer of many is read."""

from collections.abc import Callable, Mapping

Told = Mapping[str, str]


def answered(name: str, *words: str) -> Callable[[Told], bool]:
    """Ask only where another question had an answer, or one of these."""
    return lambda told: told.get(name, "") in words if words else bool(told.get(name))


def unanswered(name: str) -> Callable[[Told], bool]:
    """Ask only where another question was left blank."""
    return lambda told: not told.get(name)


def numbers(text: str) -> list[str]:
    """
    Take numbers apart that stand with blanks between them.

    A comma alone parts nothing, for it may be a decimal comma: that is refused later.

    >>> numbers("101.61, 101.60; 101.62"), numbers("101,61")
    (['101.61', '101.60', '101.62'], ['101,61'])
    """
    return [part for word in text.split() if (part := word.strip(",;"))]


def pairs(one: str, other: str) -> Callable[[str], list[dict[str, str]]]:
    """
    Take numbers two by two, and name them.

    >>> pairs("mass", "read")("500 500.02, 1000")
    [{'mass': '500', 'read': '500.02'}, {'mass': '1000'}]
    """

    def named(text: str) -> list[dict[str, str]]:
        words = numbers(text)
        return [
            dict(zip((one, other), words[i : i + 2], strict=False))
            for i in range(0, len(words), 2)
        ]

    return named
