"""The departures from the method: those stated, and accepted flags against a clause."""

from collections.abc import Iterator, Sequence

from buildsite.kinds.sheet import Note
from buildsite.kinds.tests.shared.facts import join_known, person_text
from buildsite.kinds.tests.shared.notes import alike, found_text, places_text
from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.record.flags import Field, Flag, Severity
from buildsite.standards.cells import UNCHECKED, UNCHECKED_MARK, place, short_basis


def departures(case: AnyTest, flags: Sequence[Flag]) -> Note:
    """
    Return the departures from the method, or that none are stated.

    A source is explained as unchecked where the flags above do not explain it.
    """
    above = any(UNCHECKED in one.basis for one in listed(case, flags))
    lines = [*stated(case), *accepted(case, flags)]
    if len(lines) > 1:  # printed in one paragraph
        lines = [line if line.endswith(".") else f"{line}." for line in lines]
    if not above and any(UNCHECKED_MARK in line for line in lines):
        lines.append(f"Unchecked: {UNCHECKED}.")
    return Note(
        "departures",
        "Departures from the method",
        tuple(lines) or ("None stated.",),
        role="deviation",
    )


def first_upper(text: str) -> str:
    """Return a text that begins a sentence."""
    return text[:1].upper() + text[1:]


def stated(case: AnyTest) -> Iterator[str]:
    """Yield the departures that the record states."""
    for one in case.record.deviations:
        yield join_known(
            f"{first_upper(place(one.clause))}: {one.what}" if one.clause else one.what,
            one.reason,
            f"authorized by {person_text(case, one.authorized_by)}"
            if one.authorized_by
            else "",
            f"agreed with the customer on {one.customer_agreed_on}"
            if one.customer_agreed_on
            else "",
        )


def accepted(case: AnyTest, flags: Sequence[Flag]) -> Iterator[str]:
    """
    Yield the accepted flags against a clause of the method, with who and why.

    Flags that differ only in place share a sentence. ISO/IEC 17025:2017, 7.8.2.1 n: a
    report states departures from the method.
    """
    for shared in alike([flag for flag in flags if is_departure(case, flag)]):
        first = shared[0]
        points = places_of_lines([flag.field for flag in shared])
        what = join_known(first_upper(first.flag.replace("-", " ")), points)
        found = found_text([flag.found for flag in shared])
        who = person_text(case, first.accepted_by)
        yield (
            f"{what}: found {found}; expected {first.expected} "
            f"({short_basis(first.basis)}). Accepted by {who}: {first.accepted_reason}"
        )


def places_of_lines(fields: list[Field]) -> str:
    """
    Return the lines of readings that a departure is about, if it is about lines.

    >>> places_of_lines([("points", 0, "compacted_at"), ("points", 2, "compacted_at")])
    'points 1, 3'
    >>> places_of_lines([("equipment", "mold")])
    ''
    """
    lines = [field[:2] for field in fields if len(field) > 1]
    numbered = [field for field in lines if isinstance(field[1], int)]
    return places_text(list(dict.fromkeys(numbered))) if numbered else ""


PRECISION = (
    "containers-disagree",
    "determinations-disagree",
    "repeats-apart",
    "specimens-disagree",
)
"""Flags about the scatter of results: the work itself followed the method."""


def is_departure(case: AnyTest, flag: Flag) -> bool:
    """Whether an accepted flag is against a clause of the method."""
    printed = flag.severity is not Severity.NOTE and flag.flag not in PRECISION
    judged = printed and bool(flag.accepted_by)
    return judged and case.method is not None and case.method.requires(flag.basis)


def without_departures(case: AnyTest, flags: Sequence[Flag]) -> tuple[Flag, ...]:
    """Return the flags to be listed as such: each stands on a report once."""
    return tuple(flag for flag in flags if not is_departure(case, flag))


def listed(case: AnyTest, flags: Sequence[Flag]) -> Iterator[Flag]:
    """Yield the flags that a report lists as such."""
    for flag in without_departures(case, flags):
        if flag.severity is not Severity.NOTE:
            yield flag
