"""The blank of a record: its text, the questions for it, and suggestions."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from datetime import date
from typing import Any

from buildsite.record.reading import day
from buildsite.values import dataclass

Answers = Mapping[str, str]
"""The answers so far, by the names of the asks."""

USUAL_STANDARD = "usual standard"
"""Name of the standard usual here, for a kind that picks its standard itself."""

Condition = Callable[[Answers], bool]
Split = Callable[[str], Sequence[str | Mapping[str, str]]]
Facts = Callable[[type, tuple[str, ...], date | None], tuple[Any, ...]]
Earlier = Callable[[str], tuple[Any, ...]]


@dataclass(frozen=True)
class ArchiveContext:
    """
    The sources for suggestions in a new record.

    `answers` are those so far. `facts` gives the answers of equipment of some kinds (a
    class of `kinds/answers.py`) as of a day, by id; also of the tests that mention the
    day, and of projects. `earlier` gives a few records of
    the same kind that mention a word, the latest first.
    """

    answers: Answers
    facts: Facts
    earlier: Earlier

    @property
    def on(self) -> date | None:
        """Return the date of the work, as answered under `on`."""
        try:
            return day(self.answers.get("on", ""))
        except ValueError:
            return None


Suggest = Callable[[ArchiveContext], Mapping[str, str]]


@dataclass(frozen=True)
class Ask:
    """
    A question for a new record.

    `name` is the option and the place in the blank, `words` the prompt, `default` the
    answer where nothing better is known. Words that name the quantity of a number in
    braces, as in "Mass in {mass}", let it be typed with its unit. `when` tells from the
    answers so far whether to ask; `split` turns the answer into a list.
    """

    name: str
    words: str
    default: str = ""
    choices: tuple[str, ...] = ()
    when: Condition | None = None
    split: Split | None = None


@dataclass(frozen=True)
class AnswerCheck:
    """What is said of an answer: why it is refused, and what may be doubted."""

    refused: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()

    def keeps(self, *, again: bool) -> bool:
        """Whether the answer is kept; a doubtful one if it is given again."""
        return not self.refused and (again or not self.doubts)


@dataclass(frozen=True)
class Measured:
    """
    A question about a calibration of equipment, and the field of its answer there.

    The words may name the record's units in braces, as in "Mass in {mass}". `steady`:
    it is much the same at each calibration, so that a slip of the pen shows.
    """

    ask: Ask
    at: tuple[str, ...]
    steady: bool = False


EVERY_QUESTION = ("by", "on", "state", "certificate", "wrong_since", "adjusted")
"""Questions at any calibration, beside its readings and when it is next due."""


@dataclass(frozen=True)
class Occasion:
    """
    One of several things that `calibrate` enters of a piece of equipment.

    `name` is typed, `words` are its meaning, and `done` says with `{part}` that it was
    done. What is `measured` joins the list `at` of
    the record; or, of a `part` such as a bag, that list of the part, which is a line of
    the list `parts` and may be new. `asks` are the questions of any calibration that
    apply, `due` whether a next one falls due, `interval` after what, where not the
    usual one.
    """

    name: str
    words: str
    done: str
    measured: tuple[Measured, ...]
    at: str = "calibrations"
    part: Ask | None = None
    parts: str = ""
    asks: tuple[str, ...] = EVERY_QUESTION
    due: bool = True
    interval: Callable[[], Any] | None = None


@dataclass(frozen=True)
class Series:
    """
    How records of a kind follow one another in a day's work.

    `takes` gives what the next one takes from the record before, as answers; `day` the
    day of a record; `same` whether another one is of the same row; `words` what is said
    of a record that is offered; `typed` is the ask that may be answered instead of yes.
    """

    takes: Callable[[Any], Answers]
    day: Callable[[Any], date | None]
    same: Callable[[Any, Any], bool]
    words: Callable[[Any], str]
    typed: str = ""


@dataclass(frozen=True)
class Blank:
    """
    A record ready to fill in: its text, with `{id}` and each ask's name in braces.

    `prefix` begins the first id of this kind. `places` are further names in braces
    that are not asked for; in a comment, one that ends in `_note`. `suggest` gives
    values from the archive for asks and places; `usual` has what stands in a place
    where nothing is known; other places stay blank. `varies` gives the text where the
    answers decide on it. `serves` tells whether a standard serves what was answered; a
    kind that has it suggests its standard itself. `series` leads from one record to the
    next.
    """

    text: str
    prefix: str
    asks: tuple[Ask, ...] = ()
    places: tuple[str, ...] = ()
    suggest: Suggest | None = None
    usual: Mapping[str, str] = field(default_factory=dict)
    varies: Callable[[Answers], str] | None = None
    serves: Callable[[str, Answers], bool] | None = None
    series: Series | None = None

    def text_for(self, answers: Answers) -> str:
        """Return the text that is filled in."""
        return self.varies(answers) if self.varies is not None else self.text


def answered(name: str, *words: str) -> Condition:
    """Return the condition that another question was answered, or with these words."""
    return lambda answers: (
        answers.get(name, "") in words if words else bool(answers.get(name))
    )


def unanswered(name: str) -> Condition:
    """Return the condition that another question was left blank."""
    return lambda answers: not answers.get(name)


def numbers(text: str) -> list[str]:
    """
    Return numbers separated by blanks.

    A comma alone does not separate: it may be a decimal comma, which is refused later.

    >>> numbers("101.61, 101.60; 101.62"), numbers("101,61")
    (['101.61', '101.60', '101.62'], ['101,61'])
    """
    return [part for word in text.split() if (part := word.strip(",;"))]


def pairs(one: str, other: str) -> Callable[[str], list[dict[str, str]]]:
    """
    Return the function that reads numbers in named pairs.

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


USUAL_UNITS = {"mass": "g", "length": "mm", "volume": "cm3", "density": "kg/m3"}
"""Units of a record of equipment that states none."""


def usual_units(*quantities: str) -> Mapping[str, str]:
    """Return the usual units of some quantities, by their places in a blank."""
    return {f"{name}_unit": USUAL_UNITS[name] for name in quantities}
