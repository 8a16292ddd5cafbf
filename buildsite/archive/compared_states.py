"""Two states of a test compared, for `diff`."""

from collections.abc import Mapping, Sequence
from dataclasses import field

from buildsite.archive.differences import (
    AnswerChange,
    FieldChange,
    ResultChange,
    answer_changes,
    field_changes,
    result_changes,
)
from buildsite.archive.verdicts import follow_of
from buildsite.kinds.follows import Follow
from buildsite.kinds.kind import Result
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import Spoken
from buildsite.kinds.used_form import current_form
from buildsite.record.compose import Tree
from buildsite.record.flags import Flag, new_flags
from buildsite.record.issued import Issued, Item
from buildsite.values import dataclass


@dataclass(frozen=True)
class ComparedState:
    """
    One state of a test.

    `label` names the state: `r1`, a git revision, the working tree. `item` is the
    revision, if the state is one: its results are then those reported, whatever the
    current program computes from the same readings. `why` tells why nothing could be
    computed.
    """

    label: str
    tree: Tree = field(default_factory=dict)
    outcome: Outcome | None = None
    item: Item | None = None
    why: str = ""

    @property
    def reports(self) -> Item | None:
        """The revision, if it reported a result; a withdrawal reports none."""
        kind = self.item.kind if self.item is not None else ""
        return self.item if kind in ("report", "preliminary") else None

    @property
    def results(self) -> Mapping[str, Result]:
        """Results of the state; for a report, as text only."""
        if self.reports is not None:
            return {
                name: Result(0.0, "", text)
                for name, text in self.reports.results.items()
            }
        return self.outcome.results if self.outcome is not None else {}

    @property
    def used(self) -> str:
        """Digest of the values used."""
        if self.reports is not None:
            return self.reports.used
        return self.outcome.used if self.outcome is not None else ""

    @property
    def used_form(self) -> int:
        """The form of `used`."""
        return self.reports.used_form if self.reports is not None else current_form()

    def used_in(self, form: int) -> str:
        """Return the digest of the values used in a form."""
        item = self.reports
        if item is not None and (item.used_form == form or self.outcome is None):
            return item.used
        return self.outcome.used_in(form) if self.outcome is not None else ""

    @property
    def flags(self) -> tuple[Flag, ...]:
        """Flags that the current checks raise."""
        return self.outcome.flags if self.outcome is not None else ()


@dataclass(frozen=True)
class Difference:
    """
    What differs between two states of one test.

    `revision` is the last report issued, blank for none; `assessed` the assessments of
    that report. `followers` are the tests affected if this test is issued, `follows`
    the verdicts among them; `verdict` is what became of the test's own.
    """

    test: str
    file: str
    old: ComparedState
    new: ComparedState
    revision: str = ""
    assessed: tuple[str, ...] = ()
    fields: tuple[FieldChange, ...] = ()
    answers: tuple[AnswerChange, ...] = ()
    results: tuple[ResultChange, ...] = ()
    came: tuple[Flag, ...] = ()
    went: tuple[Flag, ...] = ()
    followers: tuple[str, ...] = ()
    follows: tuple[Follow, ...] = ()
    verdict: Follow | None = None

    @property
    def method(self) -> Spoken:
        """The standard of the test, whose terms are used."""
        made = self.new.outcome or self.old.outcome
        return made.case.method if made is not None else None

    @property
    def moved(self) -> bool:
        """Whether a result, or a value used, changed."""
        return bool(self.results) or not self.same_used

    @property
    def program(self) -> bool:
        """Whether only the program changed the result."""
        return bool(self.results) and self.same_used

    @property
    def same_used(self) -> bool:
        """Whether the values used are the same, by the earlier form of the two."""
        form = min(self.old.used_form, self.new.used_form)
        return self.old.used_in(form) == self.new.used_in(form)

    @property
    def differs(self) -> bool:
        """Whether anything differs."""
        apart = self.fields or self.answers or self.came or self.went
        judged = self.verdict is not None and self.verdict.flipped
        return bool(self.moved or apart or judged)


def compare_states(
    file: str,
    old: ComparedState,
    new: ComparedState,
    *,
    issued: Issued | None = None,
    followers: Sequence[str] = (),
    follows: Sequence[Follow] = (),
) -> Difference:
    """
    Compare two states of a test.

    `followers` are the tests that use it, `follows` the verdicts among them.
    """
    last = issued.last_report if issued is not None else None
    judged = issued.assessments(last.revision) if issued and last else ()
    return Difference(
        test=file.rpartition("/")[2].removesuffix(".yaml"),
        file=file,
        old=old,
        new=new,
        revision=f"r{last.revision}" if last is not None else "",
        assessed=tuple(f"r{one.revision}" for one in judged),
        fields=tuple(field_changes(file, old.tree, new.tree)),
        answers=tuple(answer_changes(old.outcome, new.outcome)),
        results=tuple(result_changes(old.results, new.results)),
        came=new_flags(new.flags, old.flags),
        went=new_flags(old.flags, new.flags),
        followers=tuple(followers),
        follows=tuple(follows),
        verdict=follow_of(old.outcome, new.outcome),
    )
