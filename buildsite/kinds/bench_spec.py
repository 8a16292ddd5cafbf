"""The bench sheet of one record, in the order of the work."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from buildsite.record.flags import Doubt, Field
from buildsite.values import dataclass


@dataclass(frozen=True)
class Reading:
    """
    One place to fill in: a field of the record, in the words of the bench.

    `unit` is from the record's `units`; `resolution` is the coarsest step allowed by
    the method in that unit, `basis` its source. `takes` is what may be entered; `of`
    is the kind of equipment. A reading that is not `needed` may be skipped.

    Besides, an answer may be a `name` (one of many `choices`, not shown), a `list`
    (separated by commas; with `choices`, of those), a specific `gravity` (a value with
    its basis, or a test), a `test` of the kind `of`, a `band` about the optimum or
    another part of a requirement (`density`, `comparison`, `decision`, `tests`, `lot`,
    `engineers`), a `peak` drawn by hand with why, the `repeatability` by a standard,
    the reason of a `rejection`, a warning with the reason of its `acceptance`, or
    `remarks`, to which a leading plus adds.

    `usual` is what the method prescribes, for a person to confirm; never a reading.
    `within` names a list of the line, such as `containers`, whose items may have the
    reading instead; with one of the fields `unless`, such as a transcribed density, it
    is not needed; `after` names fields of which one must stand for it to be asked.
    `several`: successive readings are possible, as for oven masses. `paper`: a place
    on the printed sheet that `enter` does not ask for in turn. `acts` is the act that
    makes it, such as compacted: a line first read on another day than the test, or by
    another person, states its own.
    """

    name: str
    words: str
    unit: str = ""
    resolution: Decimal | None = None
    basis: str = ""
    # number | text | day | time | code | equipment | choice
    # name | list | gravity | test | band | remarks | rejection | acceptance
    # peak | repeatability | density | comparison | decision | tests | lot | engineers
    takes: str = "number"
    choices: tuple[str, ...] = ()
    of: str = ""
    needed: bool = True
    usual: str = ""
    within: str = ""
    unless: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    several: bool = False
    paper: bool = False
    acts: str = ""

    @property
    def path(self) -> Field:
        """Return the way to the field; a dot in the name leads into a mapping."""
        return tuple(self.name.split("."))


def unit_text(reading: Reading) -> str:
    """
    Return the unit of a reading, with the resolution required.

    >>> unit_text(Reading("mass", "Mass", "g", Decimal("0.1")))
    'to nearest 0.1 g'
    """
    step = reading.resolution
    if step is None:
        return reading.unit
    return f"to nearest {step.normalize():f} {reading.unit}"


@dataclass(frozen=True)
class Part:
    """
    A part of the work, done once or for each line of a list.

    `at` is the place of its fields in the record: `()` for the record itself,
    `("oven",)` for a mapping, `("points",)` for a list whose items have the readings.
    `times` is the least number of lines; `once`: it is not a list.

    Two parts may share a list, as for readings before and after the oven; a sheet
    prints them as one table. `line` is the word for a line; `label` is the reading
    that identifies it, such as the container's number. `begun`: what is written with
    the first answer on a line, where the record can't be read without it. `when_read`:
    what is said of all readings before it, such as who weighed dry, so that it is asked
    when the last of them is made. `only` has the lines that it is for, by index; None:
    all. `later`: done at another time than what is before it, as drying after a morning
    on the fill: not asked in a session that makes readings before it.
    """

    title: str
    at: Field
    readings: tuple[Reading, ...]
    times: int = 1
    once: bool = True
    line: str = ""
    label: str = ""
    begun: str = ""
    when_read: bool = False
    only: tuple[int, ...] | None = None
    later: bool = False


Numbered = tuple[int, tuple[float, float]]
"""A point's number and its coordinates."""


@dataclass(frozen=True)
class Progress:
    """
    The state of the work, for the person at the bench.

    `lines` are the results of each line so far, by number. `points` and `line` are a
    small curve, `axes` its labels. `hint` is advice before going on; `required` is what
    further lines, such as points, are still required for. `estimated` are the numbers
    of points whose place is an estimate.
    """

    lines: tuple[tuple[int, str], ...] = ()
    points: tuple[Numbered, ...] = ()
    line: tuple[tuple[float, float], ...] = ()
    axes: tuple[str, str] = ("", "")
    hint: str = ""
    required: tuple[str, ...] = ()
    estimated: tuple[int, ...] = ()


LOCAL_RULES = (
    "Follow your local rules and licensed practice; they come before this sheet."
)


@dataclass(frozen=True)
class Bench:
    """
    The bench sheet of a record: the questions of `enter`, the form of `worksheet`.

    `steps` are those of the method in our own words, `ticks` points to check by eye,
    `cautions` the hazards; the program checks none of them. `progress` gives the
    results so far; `odd` the doubts about a reading just made that no check raises for
    a test in progress; one of severity error is of an impossible reading.
    `when_complete` says how the result comes to be used; `verdict` whether the results
    meet what is required of them, and why not.
    """

    parts: tuple[Part, ...]
    steps: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    progress: Callable[[], Progress] = Progress
    odd: Callable[[Field], tuple[Doubt, ...]] = lambda field: ()
    when_complete: str = ""
    verdict: str = ""


@dataclass(frozen=True)
class Advice:
    """What to do next in a test in progress: as text, and as JSON in SI."""

    lines: tuple[str, ...]
    data: Mapping[str, Any]


EarlierMean = Callable[[str], tuple[float, str] | None]
"""Mean of a result, by name, over earlier tests of the soil: value in SI, basis."""

Given = Mapping[str, float | None]
"""What was just weighed or measured, by the option's name, in its unit as typed."""
