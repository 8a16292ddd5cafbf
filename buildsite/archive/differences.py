"""
Differences between two states: fields, answers of other records, results, flags.

Used by `diff`, the history of a test, the pages that compare reports, and the list of
changes on an amended report.
"""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from buildsite.archive.field_names import in_unit, unit_of
from buildsite.kinds.kind import Result
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import (
    Spoken,
    difference_of,
    readable_text,
    reported_word,
    result_text,
)
from buildsite.kinds.used import plain
from buildsite.kinds.used_form import covers, current_form
from buildsite.record.changes import Change, changes
from buildsite.record.compose import Tree
from buildsite.record.flags import Field, Flag, Severity, field_path
from buildsite.record.issued import Item
from buildsite.record.places import LAB
from buildsite.record.typed import without_blanks
from buildsite.values import dataclass

NOT_SHOWN, NOT_STATED = "not shown", "not stated"
"""In place of a private value, and of an absent one."""


@dataclass(frozen=True)
class FieldChange:
    """
    One changed field, as written; blank if it was absent.

    `unit` is that of the record, blank for a field without one.
    """

    file: str
    field: str
    old: str
    new: str
    unit: str = ""


@dataclass(frozen=True)
class ResultChange:
    """
    One result before and after, as reported; blank if there was none.

    `difference` is of the reported numbers, with its sign and unit; blank if one is
    absent or the units differ.
    """

    name: str
    old: str
    new: str
    difference: str = ""

    def term(self, method: Spoken) -> str:
        """Return the standard's term for the result."""
        return reported_word(method, self.name, self.new or self.old)


@dataclass(frozen=True)
class AnswerChange:
    """Changed values from another record: a mold, a sample, the laboratory."""

    of: str
    fields: tuple[tuple[str, str, str], ...]  # name, old, new; blank if absent


def why_not_computed(flags: Sequence[Flag]) -> str:
    """Return in a line why nothing could be computed from a record."""
    errors = [flag for flag in flags if flag.severity is Severity.ERROR]
    return "; ".join(f"line {flag.line}: {flag.message}" for flag in errors[:3])


def result_changes(
    old: Mapping[str, Result], new: Mapping[str, Result]
) -> Iterator[ResultChange]:
    """Return the changed results, in the order of the newer state."""
    for name in dict.fromkeys((*new, *old)):
        before, after = old.get(name), new.get(name)
        if before is None or after is None:
            yield ResultChange(
                name,
                result_text(before) if before is not None else "",
                result_text(after) if after is not None else "",
            )
        elif before.reported != after.reported:
            gap = difference_of(before.reported, after.reported)
            yield ResultChange(name, result_text(before), result_text(after), gap)


PRIVATE = {
    "lab": ("emails", "keys", "name"),
    "project": ("contact", "name"),
}
"""Personal fields: a change is shown, the values are not."""


def record_changes(
    old: Mapping[str, Any], new: Mapping[str, Any], without: Collection[str] = ()
) -> tuple[Change, ...]:
    """Return the changes in a record, without blanks and some fields."""
    same = (name for name, value in old.items() if value == new.get(name))
    left_out = {*without, *same}
    pair = (
        without_blanks({name: tree[name] for name in tree if name not in left_out})
        for tree in (old, new)
    )
    return tuple(filter(says_something, changes(*pair)))


def says_something(change: Change) -> bool:
    """Whether a change shows: not an absent field that becomes an empty text."""
    return bool(_text(change.old) or _text(change.new))


def report_changes(
    file: str, old: Item | None, new: Item | None
) -> Iterator[FieldChange]:
    """Return the change of the report used of another test, and of its results."""
    numbers = ["" if one is None else f"r{one.revision}" for one in (old, new)]
    if numbers[0] == numbers[1]:
        return
    yield FieldChange(file, "report used", *numbers)
    were, are = (one.results if one is not None else {} for one in (old, new))
    for name in sorted({*were, *are}):
        if were.get(name) != are.get(name):
            yield FieldChange(file, name, were.get(name, ""), are.get(name, ""))


def field_changes(file: str, old: Tree, new: Tree) -> Iterator[FieldChange]:
    """Return the changed fields of one record, with their units."""
    for change in filter(says_something, changes(old, new)):
        tree = new if change.new is not None else old
        if _private(file, change):
            texts = (_text(change.old), _text(change.new))
            before, after = (NOT_SHOWN if text else "" for text in texts)
            unit = unit_of(tree, change.field)
            yield FieldChange(file, field_path(change.field), before, after, unit)
            continue
        for way, was, now in leaves(change):
            if not (_text(was) or _text(now)):
                continue
            unit = unit_of(tree, way)
            yield FieldChange(file, field_path(way), _text(was), _text(now), unit)


def leaves(change: Change) -> Iterator[tuple[Field, Any, Any]]:
    """Return an added or removed entry field by field."""
    whole = change.new if change.old is None else change.old
    if change.old is not None and change.new is not None:
        yield change.field, change.old, change.new
        return
    for way, value in _inside(change.field, whole):
        yield (way, None, value) if change.old is None else (way, value, None)


def _inside(way: Field, value: Any) -> Iterator[tuple[Field, Any]]:
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _inside((*way, name), inner)
    elif isinstance(value, list) and any(isinstance(one, Mapping) for one in value):
        for index, inner in enumerate(value):
            yield from _inside((*way, index), inner)
    elif value is not None:
        yield way, value


def _private(file: str, change: Change) -> bool:
    """Whether a change is of a person's name, address or key."""
    names = {part for part in change.field if isinstance(part, str)}
    if file == LAB:
        whole = len(change.field) == 2  # a person added: only the code is shown
        return "staff" in names and (whole or bool(names & set(PRIVATE["lab"])))
    return file.endswith("/project.yaml") and "customer" in names


def _text(value: Any) -> str:
    """Return a value as text on one line."""
    if value is None:
        return ""
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {_text(inner)}" for name, inner in value.items())
    if isinstance(value, list):
        return ", ".join(_text(inner) for inner in value)
    return str(value)


Answers = Mapping[tuple[str, str, str], Any]


def answer_changes(old: Outcome | None, new: Outcome | None) -> Iterator[AnswerChange]:
    """
    Return the changed values from other records, field by field.

    The answers of one record are compared with each other, also if they are for
    different dates. Equipment that replaces other equipment is compared with it.
    """
    if old is None or new is None:
        return
    before, after = (
        plain_answers(old.case.inputs.answers),
        plain_answers(new.case.inputs.answers),
    )
    for key in sorted(before.keys() & after.keys()):
        yield from answer_change(answer_title(key), before[key], after[key])
    gone, come = (
        sorted(these.keys() - those.keys())
        for these, those in ((before, after), (after, before))
    )
    for key in gone:
        other = next((one for one in come if one[0] == key[0]), None)
        if other is None:
            yield AnswerChange(answer_title(key), (("used", "yes", "no"),))
            continue
        come.remove(other)
        words = f"{answer_title(key)} → {other[1]}"
        yield from answer_change(words, before[key], after[other])
    for key in come:
        yield AnswerChange(answer_title(key), (("used", "no", "yes"),))


def answer_change(words: str, old: Tree, new: Tree) -> Iterator[AnswerChange]:
    """Return the changed fields of one answer."""
    fields = tuple(
        (*in_unit(change.field, change.old, change.new),)
        for change in changes(old, new)
    )
    if fields:
        yield AnswerChange(words, fields)


def plain_answers(answers: Answers) -> dict[tuple[str, str], Tree]:
    """Return answers by subject, as plain data, without names of people."""
    found: dict[tuple[str, str], Tree] = {}
    for (asked, id, day), answer in sorted(answers.items()):
        if not covers(current_form(), type(answer)):
            continue  # words about a source: no result comes from them
        tree: Tree = plain(answer)
        noun = tree.get("kind") or answer_noun(asked)
        if asked == "LaboratoryFacts":
            tree["staff"] = {one["code"]: without_name(one) for one in tree["staff"]}
        key = (str(noun).lower(), id)
        if key in found:  # for several dates: one answer each
            key = (key[0], f"{id} on {day}")
        found[key] = as_told(asked, tree)
    return found


OF_A_PROJECT = ("RequirementsToServe", "ProjectRequirements", "LiftTerms")
"""Answers with what a project requires."""


def answer_noun(asked: str) -> str:
    """
    Return the subject of an answer, by its class.

    >>> answer_noun("SpecificGravityFact"), answer_noun("MoldFacts")
    ('specific gravity', 'mold')
    """
    if asked in OF_A_PROJECT:
        return "requirements of"
    bare = asked.removesuffix("Facts").removesuffix("Fact")
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", bare).lower()


def without_name(one: Tree) -> Tree:
    """Return the data of one of the staff, without the name."""
    return {key: value for key, value in one.items() if key not in ("code", "name")}


UNTOLD = {
    "ProjectFacts": ("customer", "contact"),
    "FieldTestFacts": ("percent_value",),  # unrounded, beside what is reported
    "RequirementsToServe": ("beside",),  # words of a page, which move nothing
}
"""Fields of an answer whose change is not told, by its class."""


def as_told(asked: str, tree: Tree) -> Tree:
    """Return an answer without what is not told of it."""
    untold = UNTOLD.get(asked, ())
    return as_reported({key: tree[key] for key in tree if key not in untold})


OF_A_CURVE = ("points", "line")


def as_reported(tree: Tree) -> Tree:
    """
    Return an answer with its peaks as reported, and without the lines of curves.

    >>> peak = {"reported_density": "111.2", "reported_water": "15.3"}
    >>> as_reported({"density_unit": "lb/ft3", "peak": peak, "line": []})["peak"]
    {'maximum_dry_density': '111.2 lb/ft³', 'optimum_water_content': '15.3 %'}
    """
    unit, told = tree.get("density_unit"), dict[str, Any]()
    for key, value in tree.items():
        if unit is not None and key in OF_A_CURVE:
            continue
        if isinstance(value, dict) and "reported_density" in value:
            density = readable_text(f"{value['reported_density']} {unit or ''}")
            water = f"{value['reported_water']} %"
            told[key] = {
                "maximum_dry_density": density,
                "optimum_water_content": water,
            }
        elif isinstance(value, list):
            told[key] = [as_reported(e) if isinstance(e, dict) else e for e in value]
        else:
            told[key] = value
    return told


def answer_title(key: tuple[str, str]) -> str:
    """
    Return the name of the record that answered.

    >>> answer_title(("mold", "M-02")), answer_title(("laboratory", "lab"))
    ('mold M-02', 'laboratory')
    """
    noun, id = key
    return noun if id == "lab" else f"{noun} {id}"
