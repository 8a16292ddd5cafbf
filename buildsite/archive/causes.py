"""
What made one result of a test another: the changed values, those that moved it first.

Each change is put alone into the earlier state, and the result is computed again. So
the cause is found, not guessed: of eight values of a calibration, the one that counts.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from buildsite.archive.amendments import SILENT, field_in_words
from buildsite.archive.differences import (
    answer_change,
    answer_changes,
    answer_title,
    leaves,
    plain_answers,
    record_changes,
)
from buildsite.archive.field_names import in_text, unit_of, with_unit
from buildsite.kinds.compared_figures import both_parted, percent_change, slip
from buildsite.kinds.kind import Inputs
from buildsite.kinds.outcome import Outcome, outcome
from buildsite.record.changes import Change
from buildsite.values import dataclass


@dataclass(frozen=True)
class Cause:
    """
    One changed value; blank where it was or is absent.

    `of` names the record it is from, blank for the test's own; `what` the value.
    `moves` tells by how much the change of its part alone moved a result, relative to
    it; 0 if it moved none.
    """

    of: str
    what: str
    old: str
    new: str
    moves: float = 0.0

    @property
    def subject(self) -> str:
        """The record and the value."""
        return ", ".join(part for part in (self.of, self.what) if part)

    @property
    def percent(self) -> str:
        """The difference in percent, of figures."""
        return percent_change(self.old, self.new)

    @property
    def slip(self) -> str:
        """How the figure was miswritten, where the two show it; of readings alone."""
        return slip(self.old, self.new) if not self.of else ""

    @property
    def order(self) -> tuple[bool, float, int]:
        """Sort key: what moved a result, the most first; figures; words last."""
        figures = both_parted(self.old, self.new) is not None
        words = 0 if figures else 1 if len(self.old) + len(self.new) < LONG else 2
        return (not self.moves, -round(self.moves, 12), words)


LONG = 60
"""Letters of a remark, of which no result comes."""

Part = tuple[float, tuple[Cause, ...]]
"""A change put in alone: by how much it moves a result, and its values."""


def causes(old: Outcome, new: Outcome) -> tuple[Cause, ...]:
    """Return every changed value between two states, what moved a result first."""
    parts = (*record_parts(old, new), *answer_parts(old, new))
    found = [replace(one, moves=moves) for moves, values in parts for one in values]
    return tuple(sorted(found, key=lambda one: one.order))


def movement(old: Outcome, record: Any, inputs: Inputs) -> float:
    """Return the largest relative change of a result if these were handed in."""
    made = outcome(old.kind, old.source, record, inputs, files={})
    before, after = old.results, made.results
    if before.keys() != after.keys():
        return 1.0
    pairs = [(before[name].value, after[name].value) for name in before]
    moved = [abs(b - a) / (abs(a) or 1.0) for a, b in pairs]
    return max((one for one in moved if one > ROUNDING), default=0.0)


ROUNDING = 1e-10
"""A relative change below this is of the last digits of a float."""


def record_parts(old: Outcome, new: Outcome) -> Iterator[Part]:
    """Yield the changes of the test's own record, part by part."""
    groups: dict[tuple[Any, ...], list[Change]] = {}
    for change in record_changes(old.source.tree, new.source.tree, SILENT):
        groups.setdefault(part_of(old, new, change), []).append(change)
    for part, changes in groups.items():
        record = with_part(old.case.record, new.case.record, part)
        moves = movement(old, record, old.case.inputs)
        yield moves, tuple(own_values(old, new, changes))


def part_of(old: Outcome, new: Outcome, change: Change) -> tuple[Any, ...]:
    """Return the part of the record that a change is in: a field, or a line."""
    name, lines = change.field[0], old.kind.lines
    if lines is None or name != lines.name or len(change.field) < 2:
        return (name,)
    counts = {len(getattr(one.case.record, str(name))) for one in (old, new)}
    return tuple(change.field[:2]) if len(counts) == 1 else (name,)


def with_part(old: Any, new: Any, part: tuple[Any, ...]) -> Any:
    """Return a record with one part of another."""
    name = part[0]
    value = getattr(new, name)
    if len(part) == 2:
        lines = [*getattr(old, name)]
        lines[part[1]] = value[part[1]]
        value = tuple(lines)
    return old.model_copy(update={name: value})


def own_values(
    old: Outcome, new: Outcome, changes: Iterable[Change]
) -> Iterator[Cause]:
    """Yield the changed values of a part of the test's own record."""
    lines = new.kind.lines
    for change in changes:
        side = old if change.new is None else new
        tree, method = side.source.tree, side.case.method
        for way, was, now in leaves(change):
            unit = unit_of(tree, way)
            what = field_in_words(way, lines, method, unit)
            before, after = (with_unit(in_text(one), unit) for one in (was, now))
            yield Cause("", what, before, after)


def answer_parts(old: Outcome, new: Outcome) -> Iterator[Part]:
    """Yield the changes of other records' answers, field by field."""
    before, after = old.case.inputs.answers, new.case.inputs.answers
    titled = titles(old), titles(new)
    done = set()
    for key in sorted(before.keys() & after.keys()):
        one, other = before[key], after[key]
        if key not in titled[0] or key not in titled[1] or not is_dataclass(one):
            continue
        done.add(titled[0][key][0])
        for name, values in changed_fields(titled[0][key], titled[1][key]):
            if name in {field.name for field in fields(one)}:
                # An answer is a dataclass; mypy can't see it through Any.
                patched = replace(one, **{name: getattr(other, name)})  # type: ignore[type-var]
                inputs = replace(old.case.inputs, answers={**before, key: patched})
                yield movement(old, old.case.record, inputs), values
            else:
                yield 0.0, values
    for change in answer_changes(old, new):
        if change.of not in done:
            yield 0.0, tuple(Cause(change.of, *field) for field in change.fields)


Titled = tuple[str, Mapping[str, Any]]
"""The name of the record that answered, and its answer as told."""


def titles(made: Outcome) -> dict[tuple[str, str, str], Titled]:
    """Return each answer by its question, as it is told."""
    found: dict[tuple[str, str, str], Titled] = {}
    for key, answer in made.case.inputs.answers.items():
        for noun, tree in plain_answers({key: answer}).items():
            found[key] = (answer_title(noun), tree)
    return found


def changed_fields(old: Titled, new: Titled) -> Iterator[tuple[str, tuple[Cause, ...]]]:
    """Yield the changed fields of one answer, each with its values."""
    for name in dict.fromkeys((*new[1], *old[1])):
        was, now = ({name: one[1].get(name)} for one in (old, new))
        for change in answer_change(old[0], was, now):
            yield name, tuple(Cause(old[0], *field) for field in change.fields)
