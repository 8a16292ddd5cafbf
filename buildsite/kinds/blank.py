"""A record ready to fill in: its text, what is asked for it, what is known already."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from buildsite.record.reading import day
from buildsite.values import dataclass

Answers = Mapping[str, str]
"""What was answered so far, by the names of the asks."""

Condition = Callable[[Answers], bool]
Split = Callable[[str], Sequence[str | Mapping[str, str]]]
Facts = Callable[[type, tuple[str, ...], date | None], tuple[Any, ...]]
Earlier = Callable[[str], tuple[Any, ...]]


@dataclass(frozen=True)
class ArchiveContext:
    """
    What a kind may fill a new record from.

    `answers` is what was answered so far. `facts` gives what the
    equipment of some kinds answers (a class of `kinds/answers.py`) as of a day, by id.
    `earlier` gives records of the same kind that mention a word, the latest first, and
    no more than a few.
    """

    answers: Answers
    facts: Facts
    earlier: Earlier

    @property
    def on(self) -> date | None:
        """The day of the work, as answered under `on`."""
        try:
            return day(self.answers.get("on", ""))
        except ValueError:
            return None


Suggest = Callable[[ArchiveContext], Mapping[str, str]]


@dataclass(frozen=True)
class Ask:
    """
    What a new record needs to be told.

    `name` is the option and the place in the blank; `words` the prompt; `default` what
    is taken where nothing better is known; `choices` the words to choose from. `when`
    tells from the answers so far whether it is asked at all; `split` makes of the
    answer the list that stands in the record.
    """

    name: str
    words: str
    default: str = ""
    choices: tuple[str, ...] = ()
    when: Condition | None = None
    split: Split | None = None


@dataclass(frozen=True)
class Blank:
    """
    A record ready to fill in: its text, with `{id}` and each ask's name in braces.

    `prefix` begins the ids of this kind where there are none to go on from. `places`
    are further names in braces, which nobody is asked for; in a comment, one that ends
    in `_note`. `suggest` gives what the archive lets this kind know, for asks and
    places alike; a place of which nothing is known stays blank.
    """

    text: str
    prefix: str
    asks: tuple[Ask, ...] = ()
    places: tuple[str, ...] = ()
    suggest: Suggest | None = None


def answered(name: str, *words: str) -> Condition:
    """Ask only where another question had an answer, or one of these."""
    return lambda answers: (
        answers.get(name, "") in words if words else bool(answers.get(name))
    )


def unanswered(name: str) -> Condition:
    """Ask only where another question was left blank."""
    return lambda answers: not answers.get(name)


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
