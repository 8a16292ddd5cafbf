"""What a technician reads at the bench for one record, in the order of the work."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from buildsite.record.flags import Doubt, Field
from buildsite.values import dataclass


@dataclass(frozen=True)
class Reading:
    """
    One place to fill in: a field of the record, asked for in the bench's words.

    `unit` is the one that the record's `units` name, as a person writes it.
    `resolution` is the coarsest step that the method's row allows, in that unit, and
    `basis` the row's source for it. `takes` says what may be written: a number, a text,
    a day, a time of day, a staff code, the id of a piece of equipment of the kind
    `of`, or one of `choices`. A reading that is not `needed` may be skipped without a
    word.

    `usual` is what the method prescribes, for a person to confirm; never a reading.
    `within` names a list of the line whose items may hold the reading in its stead, as
    `containers` does; `unless` the fields of the line that make it needless, such as a
    density taken over from a report. `several` says that more may follow the first, as
    oven masses do.
    """

    name: str
    words: str
    unit: str = ""
    resolution: Decimal | None = None
    basis: str = ""
    takes: str = "number"  # number | text | day | time | code | equipment | choice
    choices: tuple[str, ...] = ()
    of: str = ""
    needed: bool = True
    usual: str = ""
    within: str = ""
    unless: tuple[str, ...] = ()
    several: bool = False


@dataclass(frozen=True)
class Part:
    """
    A stretch of the work, done once or for each line of a list.

    `at` is the place of its fields in the record: `()` for the record itself,
    `("oven",)` for a mapping, `("points",)` for a list whose every item has all of the
    readings. `times` is how many lines of a list the method wants at least; `once` says
    that it is no list.

    Two parts may have one list: what is read before the oven, and what after. A sheet
    prints them as one table. `line` is what a line of the list is called; `label` names
    the reading by which a person knows it again, such as the container's number.
    """

    title: str
    at: Field
    readings: tuple[Reading, ...]
    times: int = 1
    once: bool = True
    line: str = ""
    label: str = ""


Numbered = tuple[int, tuple[float, float]]
"""A point's number and its place."""


@dataclass(frozen=True)
class Progress:
    """
    How the work stands, for the person at the bench.

    `lines` has what follows so far from each line of a list, by its number. `points`
    are the places of a small curve, `line` those along it, `axes` what is along and
    what is up. `hint` is what a person should know before going on.
    """

    lines: tuple[tuple[int, str], ...] = ()
    points: tuple[Numbered, ...] = ()
    line: tuple[tuple[float, float], ...] = ()
    axes: tuple[str, str] = ("", "")
    hint: str = ""


def no_progress() -> Progress:
    """Tell nothing before the record is whole."""
    return Progress()


def nothing_odd(field: Field) -> tuple[Doubt, ...]:
    """Leave it to the checks of the record."""
    return ()


LOCAL_RULES = (
    "Follow your local rules and licensed practice; they come before this sheet."
)


@dataclass(frozen=True)
class Bench:
    """
    The bench sheet of a record: what `enter` asks and `worksheet` prints.

    `steps` are those of the method in our own words, `ticks` what only eyes can see,
    `cautions` where the work can hurt. None of them is judged by the program.
    `progress` tells what follows from the readings so far; `odd` what looks strange in
    a reading just made, beside its neighbours, that no check of the record would say of
    a test in progress.
    """

    parts: tuple[Part, ...]
    steps: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    progress: Callable[[], Progress] = no_progress
    odd: Callable[[Field], tuple[Doubt, ...]] = nothing_odd


@dataclass(frozen=True)
class Advice:
    """What to do next on a test that goes on: as lines to read, and as JSON in SI."""

    lines: tuple[str, ...]
    data: Mapping[str, Any]


EarlierMean = Callable[[str], tuple[float, str] | None]
"""Mean of a result, by its name, over earlier tests of the soil: value in SI, basis."""

Given = Mapping[str, float | None]
"""What was weighed or measured just now, by the option's name, in its unit as typed."""
