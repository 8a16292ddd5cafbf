"""What differs between two states of a test: readings, equipment, results, flags."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from typing import Any

from buildsite.archive.edits import (
    FieldChange,
    ResultChange,
    field_changes,
    result_changes,
    unit_of,
)
from buildsite.archive.field_names import spoken
from buildsite.kinds.kind import Result
from buildsite.kinds.outcome import Outcome, plain
from buildsite.kinds.reporting import shown_places
from buildsite.record.changes import changes
from buildsite.record.flags import Flag, field_path
from buildsite.record.issued import Issued, Item
from buildsite.record.source import Tree
from buildsite.record.units import UNITS, from_si
from buildsite.values import dataclass


@dataclass(frozen=True)
class ComparedState:
    """
    One state of a test.

    `label` is what a person calls the state: `r1`, a git revision, the working tree.
    `item` is the revision, where the state is one: then its results are those that it
    reported, whatever today's program makes of the same readings. `why` tells why
    nothing could be computed.
    """

    label: str
    tree: Tree = field(default_factory=dict)
    outcome: Outcome | None = None
    item: Item | None = None
    why: str = ""

    @property
    def reports(self) -> Item | None:
        """The revision, where it reported a result; a withdrawal claims none."""
        kind = self.item.kind if self.item is not None else ""
        return self.item if kind in ("report", "preliminary") else None

    @property
    def results(self) -> Mapping[str, Result]:
        """Results of the state; of a report, as text alone."""
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
    def flags(self) -> tuple[Flag, ...]:
        """Flags that today's checks raise of it."""
        return self.outcome.flags if self.outcome is not None else ()


@dataclass(frozen=True)
class AnswerChange:
    """What another record answered otherwise: a mold, a sample, the laboratory."""

    of: str
    fields: tuple[tuple[str, str, str], ...]  # name, old, new; blank where absent


@dataclass(frozen=True)
class Difference:
    """
    What differs between two states of one test.

    `revision` is the last report issued of it, blank for none; `assessed` the items
    that judged that report. `followers` would follow if this test were issued.
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

    @property
    def moved(self) -> bool:
        """Whether a result, or a value that one rests on, moved."""
        return bool(self.results) or self.old.used != self.new.used

    @property
    def program(self) -> bool:
        """Whether the program alone moved it."""
        return bool(self.results) and self.old.used == self.new.used

    @property
    def differs(self) -> bool:
        """Whether there is anything to say."""
        apart = self.fields or self.answers or self.came or self.went
        return bool(self.moved or apart)


def difference(
    file: str,
    old: ComparedState,
    new: ComparedState,
    *,
    issued: Issued | None = None,
    followers: Sequence[str] = (),
) -> Difference:
    """
    Compare two states of a test.

    Parameters
    ----------
    file
        Name of its record.
    old, new
        The states.
    issued
        What was issued of it.
    followers
        Tests that rest on it.
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
        came=apart(new.flags, old.flags),
        went=apart(old.flags, new.flags),
        followers=tuple(followers),
    )


def apart(these: Sequence[Flag], those: Sequence[Flag]) -> tuple[Flag, ...]:
    """Flags that are here and not there, whatever their lines."""
    known = {(flag.flag, flag.field, flag.severity) for flag in those}
    return tuple(f for f in these if (f.flag, f.field, f.severity) not in known)


Answers = Mapping[tuple[str, str, str], Any]


def answer_changes(old: Outcome | None, new: Outcome | None) -> Iterator[AnswerChange]:
    """
    What other records answered otherwise, field by field.

    The answers of one record are compared with each other, also where they were asked
    of another day. One piece of equipment put in the place of another is compared with
    it.
    """
    if old is None or new is None:
        return
    before, after = said(old.case.inputs.answers), said(new.case.inputs.answers)
    for key in sorted(before.keys() & after.keys()):
        yield from one_moved(title(key), before[key], after[key])
    gone, come = (
        sorted(these.keys() - those.keys())
        for these, those in ((before, after), (after, before))
    )
    for key in gone:
        other = next((one for one in come if one[0] == key[0]), None)
        if other is None:
            yield AnswerChange(title(key), (("named", "yes", "no"),))
            continue
        come.remove(other)
        words = f"{title(key)} → {other[1]}"
        yield from one_moved(words, before[key], after[other])
    for key in come:
        yield AnswerChange(title(key), (("named", "no", "yes"),))


def one_moved(words: str, old: Tree, new: Tree) -> Iterator[AnswerChange]:
    """Fields of one answer that differ."""
    fields = tuple(
        (*in_unit(change.field, change.old, change.new),)
        for change in changes(old, new)
    )
    if fields:
        yield AnswerChange(words, fields)


def said(answers: Answers) -> dict[tuple[str, str], Tree]:
    """Answers by what they are of, as plain data, without names of people."""
    found: dict[tuple[str, str], Tree] = {}
    for (asked, id, day), answer in sorted(answers.items()):
        tree: Tree = plain(answer)
        noun = tree.get("kind") or spaced(asked)
        if asked == "LaboratoryFacts":
            tree["staff"] = {one["code"]: person(one) for one in tree["staff"]}
        key = (str(noun).lower(), id)
        if key in found:  # asked of several days: each day is its own answer
            key = (key[0], f"{id} on {day}")
        found[key] = discreet(asked, tree)
    return found


def spaced(asked: str) -> str:
    """
    Name what was asked, by the class of its answer.

    >>> spaced("SpecificGravityFact"), spaced("MoldFacts")
    ('specific gravity', 'mold')
    """
    bare = asked.removesuffix("Facts").removesuffix("Fact")
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", bare).lower()


def person(one: Tree) -> Tree:
    """What is said of one of the staff: no name."""
    return {key: value for key, value in one.items() if key not in ("code", "name")}


def discreet(asked: str, tree: Tree) -> Tree:
    """Leave a customer's name and contact out."""
    if asked != "ProjectFacts":
        return tree
    return {
        key: value for key, value in tree.items() if key not in ("customer", "contact")
    }


def title(key: tuple[str, str]) -> str:
    """
    Name what answered.

    >>> title(("mold", "M-02")), title(("laboratory", "lab"))
    ('mold M-02', 'laboratory')
    """
    noun, id = key
    return noun if id == "lab" else f"{noun} {id}"


IN_UNITS = (("_m3", "cm3", 1), ("_kg", "g", 1), ("_m", "mm", 2))
"""Ending of a field in SI, the unit it is shown in, and decimals."""


def in_unit(way: tuple[str | int, ...], old: Any, new: Any) -> tuple[str, str, str]:
    """
    Write a field of an answer, old and new, as a person says it.

    >>> in_unit(("volume_m3",), 0.0009452, 0.0009519)
    ('volume', '945.2 cm³', '951.9 cm³')
    >>> in_unit(("specific_gravity", "value"), "2.69", "2.71")
    ('specific gravity', '2.69', '2.71')
    >>> in_unit(("specific_gravity", "water_temperature_c"), None, "22")
    ('specific gravity, water temperature', '', '22 °C')
    """
    name = field_path(way)
    for ending, unit, places in IN_UNITS:
        if name.endswith(ending):
            return (spoken(name), *measured(old, new, unit, places))
    shown = unit_of({}, way)
    before, after = (
        f"{text} {shown}".rstrip() if text else "" for text in map(in_text, (old, new))
    )
    return spoken(name), before, after


def measured(old: Any, new: Any, unit: str, places: int) -> tuple[str, str]:
    """Write two lengths, masses or volumes with as many places as tell them apart."""
    pair = [None if value is None else from_si(value, unit) for value in (old, new)]
    texts = [shown_places(value, places) for value in pair]
    while texts[0] == texts[1] and places < MOST_PLACES:
        places += 1
        texts = [shown_places(value, places) for value in pair]
    shown = UNITS[unit].shown
    before, after = (
        "" if value is None else f"{text} {shown}"
        for value, text in zip(pair, texts, strict=True)
    )
    return before, after


MOST_PLACES = 6


def in_text(value: Any) -> str:
    """Write a plain value on one line; nothing for what is absent."""
    if value is None:
        return ""
    if isinstance(value, Mapping):
        parts = (f"{spoken(str(k))} {in_text(v)}" for k, v in value.items() if v)
        return ", ".join(parts)
    if isinstance(value, list | tuple):
        return ", ".join(in_text(one) for one in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
