"""What a technician reads at the bench for one record, in the order of the work."""

from dataclasses import dataclass
from decimal import Decimal

from buildsite.record.flags import Field


@dataclass(frozen=True, slots=True)
class Reading:
    """
    One place to fill in: a field of the record, asked for in the bench's words.

    `unit` is the one that the record's `units` name, as a person writes it.
    `resolution` is the coarsest step that the method's row allows, in that unit, and
    `basis` the row's source for it. `takes` says what may be written: a number, a text,
    a day, a time of day, a staff code, the id of a piece of equipment, or one of
    `choices`. A reading that is not `needed` may be skipped without a word.
    """

    name: str
    words: str
    unit: str = ""
    resolution: Decimal | None = None
    basis: str = ""
    takes: str = "number"  # number | text | day | time | code | equipment | choice
    choices: tuple[str, ...] = ()
    needed: bool = True


@dataclass(frozen=True, slots=True)
class Part:
    """
    A stretch of the work, done once or for each line of a list.

    `at` is the place of its fields in the record: `()` for the record itself,
    `("oven",)` for a mapping, `("points",)` for a list whose every item has all of the
    readings. `times` is how many lines of a list the method wants at least; `once` says
    that it is no list.
    """

    title: str
    at: Field
    readings: tuple[Reading, ...]
    times: int = 1
    once: bool = True


@dataclass(frozen=True, slots=True)
class Bench:
    """
    The bench sheet of a record: what `enter` asks and `worksheet` prints.

    `steps` are those of the method in our own words, `ticks` what only eyes can see,
    `cautions` where the work can hurt. None of them is judged by the program.
    """

    parts: tuple[Part, ...]
    steps: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
