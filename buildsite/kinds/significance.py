"""
Whether a difference of two results matters: beside the precision, and for the fill.

Plain values and their words; a kind of test makes them of two results as kept.
"""

from buildsite.values import dataclass


@dataclass(frozen=True)
class Precision:
    """
    The difference of a result beside what one operator's repeat tests may differ by.

    `limit` is in the unit of the report, `basis` where it is from; `within`: not more.
    """

    name: str  # of the result
    label: str  # in the standard's word
    difference: str
    limit: str
    basis: str
    within: bool

    @property
    def words(self) -> str:
        """
        The comparison, as the end of a sentence.

        >>> texts = ("optimum", "0.7 points", "1.6 points", "AASHTO T 99")
        >>> Precision("optimum_water_content", *texts, within=True).words
        'less than the single-operator repeatability of 1.6 points'
        """
        return f"{self.how} {REPEATABILITY} of {self.limit}"

    @property
    def how(self) -> str:
        """How the difference compares with the limit."""
        if not self.within:
            return "more than"
        return "as much as" if self.difference == self.limit else "less than"


REPEATABILITY = "the single-operator repeatability"


@dataclass(frozen=True)
class Uncertainty:
    """
    The difference of a result beside the expanded uncertainty that a report states.

    It is the one of the later report, or of the earlier where that alone states it.
    """

    name: str  # of the result
    label: str  # in the standard's word
    difference: str
    expanded: str
    within: bool
    complete: bool = True  # whether its budget lacks nothing

    @property
    def how(self) -> str:
        """Whether the difference is inside it."""
        return "inside" if self.within else "outside"

    @property
    def words(self) -> str:
        """
        The comparison, as the end of a sentence.

        >>> texts = ("optimum", "0.7 points", "0.8 points")
        >>> Uncertainty("optimum_water_content", *texts, within=True).words
        "inside the result's own expanded uncertainty, ± 0.8 points"
        """
        lacks = "" if self.complete else " (of an incomplete budget)"
        return f"{self.how} {EXPANDED}, ± {self.expanded}{lacks}"


EXPANDED = "the result's own expanded uncertainty"


@dataclass(frozen=True)
class MovedTarget:
    """
    What field tests of a zone must reach, by the old and by the new result.

    `what` is the term; both figures have their unit and are equal if nothing moves.
    """

    zone: str
    what: str
    old: str
    new: str
    judged: str = ""  # on what, where the figure is nominal

    @property
    def moves(self) -> bool:
        """Whether it is another one."""
        return self.old != self.new

    @property
    def words(self) -> str:
        """
        The move, as the end of a sentence.

        >>> MovedTarget("A", "dry density", "105.6 lb/ft³", "106.9 lb/ft³").words
        'dry density from 105.6 to 106.9 lb/ft³'
        >>> MovedTarget("A", "water content", "13.3 to 17.3 %", "14.0 to 18.0 %").words
        'water content from 13.3–17.3 % to 14.0–18.0 %'
        """
        old, new = (text.replace(" to ", "–") for text in (self.old, self.new))
        if not self.moves:
            return f"{self.what} {new}"
        number, _, unit = old.partition(" ")
        if "–" not in old and unit and new.endswith(f" {unit}"):
            old = number
        return f"{self.what} from {old} to {new}"


@dataclass(frozen=True)
class Significance:
    """What a difference of two results is held against."""

    precision: tuple[Precision, ...] = ()
    targets: tuple[MovedTarget, ...] = ()
    not_known: str = ""  # why nothing is said of precision
    uncertainties: tuple[Uncertainty, ...] = ()  # where a report states any
