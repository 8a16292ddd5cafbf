"""What an edit was and what it did to a test: plain data, for pages and commands."""

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from buildsite.kinds import kind_named
from buildsite.kinds.kind import Result
from buildsite.kinds.reporting import WEIGHTS, printed
from buildsite.record.changes import Change, changes
from buildsite.record.edits import Commit, Signature
from buildsite.record.flags import Field, Flag, field_path
from buildsite.record.issued import Item
from buildsite.record.source import Tree
from buildsite.record.units import UNITS
from buildsite.values import dataclass

NOT_SHOWN = "not shown"
STRANGER = "not on the staff list"
NOT_CHECKED = Signature("not checked")


@dataclass(frozen=True)
class FieldChange:
    """
    One field that an edit changed, as written; blank where it was absent.

    `unit` is the record's own, blank for what has none. `file` tells records apart.
    """

    file: str
    field: str
    old: str
    new: str
    unit: str = ""


@dataclass(frozen=True)
class ResultChange:
    """
    One result before and after, as reported; blank where there was none.

    `difference` is of the reported numbers, with its sign and unit; blank where one is
    absent or the unit is another.
    """

    name: str
    old: str
    new: str
    difference: str = ""


@dataclass(frozen=True)
class Edit:
    """
    One commit, seen from one record.

    `who` is a staff code or "not on the staff list"; `reason` what the commit says,
    without addresses. `files` were changed by it, `placed` says where the record went.
    `moved` tells whether a value used moved. `unread` is why the record could not be
    made out then, and `text` what stood there. `joins` marks a merge that brought two
    lines of edits together to what neither had. `place` counts back from the newest
    commit of all.
    """

    commit: Commit
    who: str
    reason: str
    files: tuple[str, ...] = ()
    placed: str = ""
    fields: tuple[FieldChange, ...] = ()
    results: tuple[ResultChange, ...] = ()
    came: tuple[Flag, ...] = ()
    went: tuple[Flag, ...] = ()
    moved: bool = False
    unread: str = ""
    text: str = ""
    joins: bool = False
    signature: Signature = NOT_CHECKED
    place: int = 0

    @property
    def tells(self) -> bool:
        """Whether it is worth a client's eye: the others are folded away."""
        return bool(self.moved or self.results or self.came or self.went or self.unread)


@dataclass(frozen=True)
class Timeline:
    """
    Every edit that a test's results could have moved by, newest first.

    `issued` holds of each item of the test's issued file, in order, the place of the
    commit that brought it; places count back from the newest commit.
    """

    test: str
    file: str
    edits: tuple[Edit, ...]
    issued: tuple[int, ...] = ()

    def place(self, index: int) -> int:
        """Place of the commit that issued an item; before all for one not committed."""
        return self.issued[index] if index < len(self.issued) else -1


def result_changes(
    old: Mapping[str, Result], new: Mapping[str, Result]
) -> Iterator[ResultChange]:
    """Results that are reported otherwise, in the order of the newer state."""
    for name in dict.fromkeys((*new, *old)):
        before, after = old.get(name), new.get(name)
        if before is None or after is None:
            yield ResultChange(
                name,
                printed(before) if before is not None else "",
                printed(after) if after is not None else "",
            )
        elif before.reported != after.reported:
            gap = difference(before.reported, after.reported)
            yield ResultChange(name, printed(before), printed(after), gap)


def difference(old: str, new: str) -> str:
    """
    Subtract two reported values of one unit.

    >>> difference("121.4 lb/ft3", "121.9 lb/ft3")
    '+0.5 lb/ft³'
    >>> difference("13 percent", "1.3 lb/ft3")
    ''

    Pounds of force weigh as many pounds of mass, so that these two may be subtracted.

    >>> difference("108.7 lb/ft3", "108.0 lbf/ft3")
    '−0.7 lbf/ft³'
    """
    (before, _, was), (after, _, unit) = old.partition(" "), new.partition(" ")
    if unit != was and not renamed(was, unit):
        return ""
    try:
        gap = Decimal(after) - Decimal(before)
    except InvalidOperation:
        return ""
    return f"{gap:+f} {in_print(unit)}".replace("-", "−").rstrip()


def renamed(old: str, new: str) -> bool:
    """
    Whether two units give one figure: those of a mass and of its weight.

    >>> renamed("lbf/ft3", "lb/ft3"), renamed("kg/m3", "kN/m3")
    (True, False)
    """
    return new == WEIGHTS.get(old) or old == WEIGHTS.get(new)


def in_print(unit: str) -> str:
    """Write a unit as reports do."""
    return UNITS[unit].shown if unit in UNITS else unit


def unit_renamed(old: Mapping[str, str], new: Mapping[str, str]) -> str:
    """
    Say that a unit is called otherwise, and its figures are the same; nothing if not.

    >>> unit_renamed({"a": "108.7 lb/ft3"}, {"a": "108.0 lbf/ft3"})
    'The unit lb/ft³ is now called lbf/ft³: the figure is the same.'

    Parameters
    ----------
    old, new
        Results as reported, by name.
    """
    for name in sorted(old.keys() & new.keys()):
        was, unit = (text.partition(" ")[2] for text in (old[name], new[name]))
        if renamed(was, unit):
            units = f"{in_print(was)} is now called {in_print(unit)}"
            return f"The unit {units}: the figure is the same."
    return ""


PRIVATE = {
    "lab": ("emails", "keys", "name"),
    "project": ("contact", "name"),
}
"""Fields of people: that they changed is shown, what they say is not."""


def report_changes(
    file: str, old: Item | None, new: Item | None
) -> Iterator[FieldChange]:
    """Which report of another test is used, and what it states otherwise."""
    numbers = ["" if one is None else f"r{one.revision}" for one in (old, new)]
    if numbers[0] == numbers[1]:
        return
    yield FieldChange(file, "report used", *numbers)
    were, are = (one.results if one is not None else {} for one in (old, new))
    for name in sorted({*were, *are}):
        if were.get(name) != are.get(name):
            yield FieldChange(file, name, were.get(name, ""), are.get(name, ""))


def field_changes(file: str, old: Tree, new: Tree) -> Iterator[FieldChange]:
    """Fields of one record that differ, with the unit that the record gives them."""
    for change in changes(old, new):
        tree = new if change.new is not None else old
        if _private(file, change):
            texts = (_said(change.old), _said(change.new))
            before, after = (NOT_SHOWN if text else "" for text in texts)
            unit = unit_of(tree, change.field)
            yield FieldChange(file, field_path(change.field), before, after, unit)
            continue
        for way, was, now in leaves(change):
            unit = unit_of(tree, way)
            yield FieldChange(file, field_path(way), _said(was), _said(now), unit)


def leaves(change: Change) -> Iterator[tuple[Field, Any, Any]]:
    """Take an entry that came or went apart, field by field."""
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
    """Whether a change is of somebody's name, address or key."""
    names = {part for part in change.field if isinstance(part, str)}
    if file == "records/lab.yaml":
        whole = len(change.field) == 2  # a person who came: shown by the code alone
        return "staff" in names and (whole or bool(names & set(PRIVATE["lab"])))
    return file.endswith("/project.yaml") and "customer" in names


def _said(value: Any) -> str:
    """Write a value as a person does, on one line."""
    if value is None:
        return ""
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {_said(inner)}" for name, inner in value.items())
    if isinstance(value, list):
        return ", ".join(_said(inner) for inner in value)
    return str(value)


OF_UNITS = (
    (re.compile(r"(mold_and_wet_soil|mold_mass|specimen_mass)"), "compacted"),
    (re.compile(r"container(_mass|_and_wet|_and_dry)"), "moisture"),
    (re.compile(r"(wet_density|dry_density|maximum_dry_density)"), "density"),
    (re.compile(r"(mold_volume|volume)"), "volume"),
    (re.compile(r"(mass|empty_with_plates|full_with_plates)"), "mass"),
    (re.compile(r"(diameters|heights)"), "length"),
)
"""Readings by the line of `units` that gives their unit; a kind may say otherwise of
its own."""

IN_NAME = (
    (re.compile(r".*_ml"), "mL"),
    (re.compile(r"(.*_)?(temperature_c|_c)"), "°C"),
    (re.compile(r"(.*_)?(water_content|percent_retained|percent)"), "%"),
    (re.compile(r"retained_.*|absorption"), "%"),
)


def unit_of(tree: Tree, field: tuple[str | int, ...]) -> str:
    """
    Unit of a reading, as its record says it.

    >>> unit_of({"units": {"moisture": "g"}}, ("points", 1, "container_and_dry"))
    'g'
    >>> unit_of({}, ("points", 1, "water_added_ml"))
    'mL'
    """
    name = next((part for part in reversed(field) if isinstance(part, str)), "")
    written = tree.get("units")
    units = written if isinstance(written, dict) else {}
    kind = kind_named(str(tree.get("kind")))
    own = kind.units.get(name) if kind is not None else None
    lines = [line for pattern, line in OF_UNITS if pattern.fullmatch(name)]
    for line in [own] if own is not None else lines:
        if isinstance(units.get(line), str):
            unit = str(units[line])
            return UNITS[unit].shown if unit in UNITS else unit
    return next((unit for pattern, unit in IN_NAME if pattern.fullmatch(name)), "")


def with_unit(text: str, unit: str) -> str:
    """
    Put a unit behind a number, or several, not behind words.

    >>> with_unit("8.64", "lb"), with_unit("101.6, 101.7", "mm"), with_unit("dry", "g")
    ('8.64 lb', '101.6, 101.7 mm', 'dry')
    """
    number = re.fullmatch(r"-?[0-9.]+(, -?[0-9.]+)*", text)
    return f"{text} {unit}" if unit and number else text
