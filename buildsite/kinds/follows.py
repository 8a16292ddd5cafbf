"""What becomes of a verdict between two states of a test. Plain values."""

from collections.abc import Iterable

from buildsite.values import dataclass

FAIL, NONE = "fail", "none"


@dataclass(frozen=True)
class Follow:
    """
    A verdict before and after a change, with the figure that it was judged by.

    `place` says in words where the work was done, `day` when, as in a record (blank if
    not stated). `uncounted` says what took a failure out of those that count: another
    purpose, zone or lift; blank if nothing did. `left` is the project that a failure
    was moved out of.
    """

    id: str
    place: str
    old_percent: str  # as reported; blank if there is none
    new_percent: str
    old_verdict: str  # pass | fail | none
    new_verdict: str
    uncounted: str = ""
    day: str = ""
    left: str = ""

    @property
    def flipped(self) -> bool:
        """Whether the verdict changed."""
        return self.old_verdict != self.new_verdict

    @property
    def vanished(self) -> bool:
        """Whether a failure is one no more, or counts no more."""
        lost = self.old_verdict == FAIL and self.new_verdict != FAIL
        return lost or bool(self.uncounted)

    @property
    def percents(self) -> str:
        """
        The figure, before and after.

        >>> Follow("A", "", "94.4 %", "95.2 %", "fail", "pass").percents
        '94.4 % → 95.2 %'
        >>> Follow("A", "", "", "95.2 %", "none", "pass").percents
        'none → 95.2 %'
        """
        texts = (self.old_percent or NONE, self.new_percent or NONE)
        return texts[0] if texts[0] == texts[1] else " → ".join(texts)

    @property
    def verdicts(self) -> str:
        """
        The verdict, before and after.

        >>> Follow("A", "", "", "", "fail", "pass").verdicts
        'fail → pass'
        >>> Follow("A", "", "", "", "pass", "pass").verdicts
        'pass'
        """
        pair = (self.old_verdict, self.new_verdict)
        return " → ".join(pair) if self.flipped else pair[0]

    @property
    def words(self) -> str:
        """
        Both in one line.

        >>> Follow("A", "lift 7", "94.4 %", "95.2 %", "fail", "pass").words
        'lift 7: fail → pass, 94.4 % → 95.2 %'
        """
        where = f"{self.place}: " if self.place else ""
        out = f"; {self.uncounted}" if self.uncounted else ""
        return f"{where}{self.verdicts}, {self.percents}{out}"


def flips_first(follows: Iterable[Follow]) -> tuple[Follow, ...]:
    """Return changed verdicts first, then the others, each by id."""
    return tuple(sorted(follows, key=lambda one: (not one.flipped, one.id)))
