"""An answer about a new record, judged before the next is asked for."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from enum import Enum
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import new_record, proposed_id
from buildsite.kinds.blank import USUAL_UNITS, AnswerCheck
from buildsite.kinds.equipment.tolerances import methods
from buildsite.kinds.kind import Kind
from buildsite.kinds.sieves import opening_mm
from buildsite.record.changes import changes
from buildsite.record.compose import Tree
from buildsite.record.flags import Field, Flag, Severity, new_flags
from buildsite.record.messages import join_choices
from buildsite.record.reading import plain
from buildsite.record.units import from_si, to_si
from buildsite.standards.tables import standard
from buildsite.starting.surroundings import Surroundings
from buildsite.starting.typed_units import unit_place
from buildsite.values import dataclass


@dataclass(frozen=True)
class Trial:
    """A record that is not written: its tree, and what is said of it."""

    tree: Tree
    unreadable: tuple[Flag, ...]
    flags: tuple[Flag, ...]


def check_answer(
    around: Surroundings, kind: Kind[Any, Any], answers: Mapping[str, str], name: str
) -> AnswerCheck:
    """
    Judge one answer by the record as it would be with it, and as it is without.

    Parameters
    ----------
    around, kind
        The archive, and what is to be written.
    answers
        The answers so far, with the one in question.
    name
        Which one that is.
    """
    if not answers.get(name, "").strip():
        return AnswerCheck()
    archive = around.archive
    if name == "project" and archive.find("project", answers[name]) is None:
        there = ", ".join(archive.ids("project"))
        return AnswerCheck((f"No project {answers[name]!r} in this archive: {there}",))
    own = DOUBTS.get((kind.name, name)) or DOUBTS.get(("", name))
    said = own(around, answers) if own is not None else None
    if said:
        return AnswerCheck(doubts=(said,))
    asks = kind.blank.asks if kind.blank is not None else ()
    usual = {ask.name: ask.default for ask in asks}
    whole = {**usual, **around.known(kind, answers), **answers}
    id = proposed_id(archive, kind, whole)
    before = compute_trial(archive, kind, id, {**whole, name: ""})
    after = compute_trial(archive, kind, id, whole)
    moved = [change.field for change in changes(before.tree, after.tree)]

    def fresh(flags: tuple[Flag, ...], known: tuple[Flag, ...]) -> tuple[str, ...]:
        return tuple(
            f"{flag.found}; expected: {flag.expected}; {flag.mend}"
            for flag in new_flags(flags, known)
            if flag.severity is not Severity.NOTE
            and not flag.unasked
            and any(flag.field[: len(field)] == field for field in moved)
        )

    return AnswerCheck(
        fresh(after.unreadable, before.unreadable), fresh(after.flags, before.flags)
    )


def compute_trial(
    archive: Archive, kind: Kind[Any, Any], id: str, answers: Mapping[str, str]
) -> Trial:
    """Read and compute a record as if it stood in the archive."""
    record = new_record(kind, id, answers)
    with_it = archive.with_files({record.file: record.text.encode()})
    entry, made = with_it.entry(record.file), with_it.outcome(record.file)
    return Trial(entry.source.tree, entry.flags, made.flags if made else ())


class Need(Enum):
    """Whether a record can do without an answer: one that can't be read can't."""

    NONE = 0
    SOME_DAY = 1
    TO_BE_READ = 2


def is_needed(
    around: Surroundings, kind: Kind[Any, Any], answers: Mapping[str, str], name: str
) -> Need:
    """Return whether a record is said to lack an answer, or is unreadable so."""
    whole = {**around.known(kind, answers), **answers}
    id = proposed_id(around.archive, kind, whole)
    blank = compute_trial(around.archive, kind, id, {**whole, name: ""})
    filled = compute_trial(around.archive, kind, id, {**whole, name: "1"})
    if missing_fields(blank.unreadable) - missing_fields(filled.unreadable):
        return Need.TO_BE_READ
    every = missing_fields((*blank.unreadable, *blank.flags))
    if every - missing_fields((*filled.unreadable, *filled.flags)):
        return Need.SOME_DAY
    return Need.NONE


def missing_fields(flags: Iterable[Flag]) -> set[Field]:
    """Return fields that a record can't do without."""
    return {
        flag.field
        for flag in flags
        if flag.flag == "missing-field" and flag.severity is Severity.ERROR
    }


def unknown_edition(around: Surroundings, answers: Mapping[str, str]) -> str | None:
    """Doubt an edition that is none of the standard's known ones: it may be newer."""
    known = standard(answers.get("standard", ""))
    if known is None or not known.editions or known.edition(answers["edition"]):
        return None
    there = ", ".join(one.edition for one in known.editions)
    return f"{answers['edition']}; editions of {known.designation} known here: {there}"


def unknown_staff_code(around: Surroundings, answers: Mapping[str, str]) -> str | None:
    """Doubt a staff code that nobody bears, and name those there are."""
    lab = around.archive.laboratory
    if lab is None or answers["by"] in lab.staff:
        return None
    return (
        f"{answers['by']}; expected: a staff code of lab.yaml: {', '.join(lab.staff)}"
    )


def unknown_size(around: Surroundings, answers: Mapping[str, str]) -> str | None:
    """Doubt a size of mold that no method asks for, such as one without its unit."""
    sizes = sorted({method.mold for method in methods()})
    plain = {" ".join(size.casefold().split()) for size in sizes}
    if " ".join(answers["nominal"].casefold().split()) in plain:
        return None
    return f"{answers['nominal']}; molds of the methods known here: {', '.join(sizes)}"


def unlike(
    answers: Mapping[str, str],
    name: str,
    quantity: str,
    known: Sequence[float],
) -> str | None:
    """Doubt a figure unlike that of every method: mostly one in another unit."""
    place = unit_place(quantity)
    unit = answers.get(place) or USUAL_UNITS[quantity]
    try:
        value = to_si(plain(answers[name]), unit)
    except ValueError:
        return None  # the reader refuses it
    if any(abs(value / one - 1) <= MUCH for one in known if one):
        return None
    figures = sorted({f"{from_si(one, unit):.4g}" for one in known if one}, key=float)
    return (
        f"{answers[name]} {unit}; expected: {join_choices(figures)} {unit}, as the "
        f"methods known here; a number in another unit is typed with it, as in "
        f"{EXAMPLES[quantity]}"
    )


MUCH = 0.1
"""A mold or rammer that differs more from every method is another, or mistyped."""

EXAMPLES = {"mass": "5.5 lb", "length": "12 in", "volume": "0.0333 ft3"}


def unknown_rammer_mass(around: Surroundings, answers: Mapping[str, str]) -> str | None:
    """Doubt the mass of a rammer that no method has."""
    known = [method.rammer_mass_kg for method in methods()]
    return unlike(answers, "mass", "mass", known)


def unknown_drop(around: Surroundings, answers: Mapping[str, str]) -> str | None:
    """Doubt a drop that no method has."""
    return unlike(answers, "drop", "length", [one.drop_m for one in methods()])


def unknown_volume(around: Surroundings, answers: Mapping[str, str]) -> str | None:
    """Doubt the volume of a mold that no method has."""
    known = [method.mold_volume_m3 for method in methods()]
    return unlike(answers, "volume", "volume", known)


def unknown_sieve(around: Surroundings, answers: Mapping[str, str]) -> str | None:
    """Doubt a sieve whose opening nobody knows."""
    if opening_mm(answers["opening"]) is not None:
        return None
    return f"{answers['opening']}; expected: a sieve such as No. 4, 3/4 in or 19 mm"


def unlike_capacity(around: Surroundings, answers: Mapping[str, str]) -> str | None:
    """Doubt a readability and a capacity that no one balance has, or change places."""
    try:
        step, most = plain(answers.get("readability", "")), plain(answers["capacity"])
    except ValueError:
        return None  # the reader refuses it, or it is blank
    low, high = STEPS_OF_A_BALANCE
    if step <= 0 or low <= most / step <= high:
        return None
    return (
        f"{most} with a readability of {step}; expected: {low} to {high} steps up to "
        "the capacity; check both, and their unit"
    )


STEPS_OF_A_BALANCE = (200, 10_000_000)
"""Capacity over readability, from shop scales to analytical balances: common
practice."""


Doubting = Callable[[Surroundings, Mapping[str, str]], str | None]

DOUBTS: Mapping[tuple[str, str], Doubting] = {
    ("", "edition"): unknown_edition,
    ("", "by"): unknown_staff_code,
    ("balance", "capacity"): unlike_capacity,
    ("mold", "nominal"): unknown_size,
    ("mold", "volume"): unknown_volume,
    ("rammer", "mass"): unknown_rammer_mass,
    ("rammer", "drop"): unknown_drop,
    ("sieve", "opening"): unknown_sieve,
}
"""Doubts that a record as a whole does not raise, by kind ("": any) and question."""
