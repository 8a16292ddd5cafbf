"""
What stands in a record and is not committed yet: stage by stage, each with its author.

A stage is the record as one person left it, on top of the stage before. So every
reading has the name of who typed it, and one that another altered has both names.
"""

import json
from collections.abc import Iterator, Sequence
from hashlib import sha256
from typing import Any

from buildsite.archive.blanks import flow_text
from buildsite.record.changes import Change, changes
from buildsite.record.compose import Tree
from buildsite.record.flags import Field
from buildsite.record.set_field import CannotAmend
from buildsite.record.set_reading import set_reading, value_at
from buildsite.record.source import read_source
from buildsite.values import dataclass


@dataclass(frozen=True)
class Stage:
    """
    The record as somebody left it, and the day.

    `by` is empty where the record was changed by other means than `enter`.
    """

    data: bytes
    by: str = ""
    on: str = ""

    @property
    def tree(self) -> Tree:
        """Return the record as read."""
        return tree_of(self.data)


@dataclass(frozen=True)
class Slip:
    """
    The stages that were not committed when they were noted, on top of `base`.

    `base` is the record as committed, or a new one as it was written. `between` has the
    digests of states that the file has only while it is written: found there, it must
    become the last stage. `unclear` is for whom an earlier version of this program
    saved readings that it can't tell from the changes of others.
    """

    base: bytes
    stages: tuple[Stage, ...] = ()
    between: tuple[str, ...] = ()
    unclear: str = ""

    @property
    def states(self) -> list[bytes]:
        """Return the record below the stages, and with each of them."""
        return [self.base, *(stage.data for stage in self.stages)]

    @property
    def last(self) -> bytes:
        """Return the record as the file has it, if nobody changed it since."""
        return self.states[-1]

    def with_save(self, data: bytes, by: str, on: str) -> "Slip":
        """Return the slip before a state is written: one stage a person and day."""
        before = self.stages
        if before and (before[-1].by, before[-1].on) == (by, on):
            before = before[:-1]
        stages = (*before, Stage(data, by, on))
        return Slip(self.base, stages, (digest(self.last),), self.unclear)

    def after(self, committed: bytes | None) -> tuple[Stage, ...]:
        """Return the stages on top of a committed state; all if it is none of them."""
        at = self.states.index(committed) if committed in self.states else 0
        return tuple(
            stage
            for before, stage in zip(self.states[at:], self.stages[at:], strict=False)
            if stage.data != before
        )

    def knows(self, committed: bytes) -> bool:
        """Return whether some of the stages stand on a committed state."""
        return committed in self.states


def digest(data: bytes) -> str:
    """Return the SHA-256 of a state of the record."""
    return sha256(data).hexdigest()


def tree_of(data: bytes | None) -> Tree:
    """Return a state of the record as read; empty where there is none."""
    return read_source("record", data).tree if data is not None else {}


def slip_text(slip: Slip) -> bytes:
    """Write a slip as JSON."""
    stages = [
        {"by": one.by, "on": one.on, "record": one.data.decode()} for one in slip.stages
    ]
    about = {"base": slip.base.decode(), "stages": stages, "between": slip.between}
    if slip.unclear:
        about["unclear"] = slip.unclear
    return json.dumps(about).encode()


def read_slip(text: bytes, committed: bytes | None, data: bytes) -> Slip:
    """Read a slip; one of an earlier version, from the record it is about."""
    noted = json.loads(text)
    if "states" in noted:
        return earlier_slip(noted, committed, data)
    stages = (
        Stage(one["record"].encode(), one["by"], one["on"]) for one in noted["stages"]
    )
    return Slip(
        noted["base"].encode(),
        tuple(stages),
        tuple(noted["between"]),
        noted.get("unclear", ""),
    )


def earlier_slip(noted: Any, committed: bytes | None, data: bytes) -> Slip:
    """
    Understand the form of earlier versions: digests alone, and for whom.

    Where the record was changed since, it doesn't say which readings were entered.
    """
    base, by = committed or b"", str(noted["by"])
    if digest(base) == noted["states"][-1]:
        return Slip(base)
    if digest(data) not in noted["states"]:
        return Slip(base, unclear=by)
    others = noted.get("others")
    below = () if others is None else (Stage(str(others).encode()),)
    own = () if below and below[0].data == data else (Stage(data, by),)
    return Slip(base, (*below, *own))


def pending(
    slip: Slip | None, committed: bytes | None, data: bytes
) -> tuple[Stage, ...]:
    """
    Return the stages between the record as committed and as it stands in the file.

    What differs from the last noted stage is one without an author. Nothing is pending
    in a new record that nobody entered readings in.
    """
    stages = noted_stages(slip, committed, data) if slip is not None else ()
    if stages and data != stages[-1].data and not stages[-1].by:
        stages = stages[:-1]  # somebody went on with the same changes
    last = stages[-1].data if stages else committed
    if last is None or last == data:
        return stages
    return (*stages, Stage(data))


def noted_stages(slip: Slip, committed: bytes | None, data: bytes) -> tuple[Stage, ...]:
    """Return the stages that are not committed; after a pull, on top of it."""
    if committed is None or slip.knows(committed):
        return slip.after(committed)
    return carried_over(slip, committed, data) if data != committed else ()


def carried_over(slip: Slip, committed: bytes, data: bytes) -> tuple[Stage, ...]:
    """
    Return the stages on top of another committed state, which came with a pull.

    Reading by reading: what was committed otherwise meanwhile is left out, and so are
    the entries of a list whose place another has taken. If such a reading still stands
    in the file, it is a change without an author.
    """
    found: list[Stage] = []
    before, now = slip.base, committed
    for stage in slip.stages:
        then = now
        for change in changes(tree_of(before), stage.tree):
            now = with_change(now, change)
        before = stage.data
        if now != then:
            found.append(Stage(now, stage.by, stage.on))
    if found and tree_of(now) == tree_of(data):
        found[-1] = Stage(data, found[-1].by, found[-1].on)
    return tuple(found)


def with_change(data: bytes, change: Change) -> bytes:
    """Return a record with one change, if it has what was there before it."""
    source = read_source("record", data)
    if value_at(source.tree, change.field) != change.old:
        return data
    try:
        return set_reading(source, change.field, flow_text(change.new))
    except (CannotAmend, KeyError):
        return data


Typed = dict[Field, tuple[Any, str]]
"""Values, by field, and who typed them."""


def typed_in(found: Sequence[Change], by: str) -> Typed:
    """Return the values that some changes brought, as typed by somebody."""
    return {
        field: (value, by)
        for change in found
        for field, value in leaves(change.field, change.new)
    }


def leaves(field: Field, value: Any) -> Iterator[tuple[Field, Any]]:
    """Yield every single value in a value, with its field."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from leaves((*field, name), inner)
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from leaves((*field, i), inner)
    elif value is not None:
        yield field, value


def typist(change: Change, typed: Typed) -> str:
    """Return who typed what a change altered; empty if it is not known."""
    names = {
        typed[field][1]
        for field, value in leaves(change.field, change.old)
        if field in typed and typed[field][0] == value
    }
    return ", ".join(sorted(names - {""}))


def change_text(change: Change, typed: Typed, by: str = "") -> str:
    """Return a change on one line, with who typed the old value and the new one."""
    was, now = typist(change, typed), by if change.new is not None else ""
    return change.text(f" ({was})" if was else "", f" ({now})" if now else "")
