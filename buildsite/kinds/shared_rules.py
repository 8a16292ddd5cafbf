"""Rules common to several kinds of record: standards, dates and staff codes."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import Any, NamedTuple

from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.parts import StandardUsed
from buildsite.standards.tables import standard, unknown, variants


class Dated(NamedTuple):
    """An act: its word, its date if known, and the field of the date."""

    words: str
    on: date | None
    field: Field


def order_doubts(acts: Sequence[Dated]) -> Iterator[Doubt]:
    """Doubt each act dated before an earlier one."""
    last: Dated | None = None
    for act in acts:
        if act.on is None:
            continue
        if last is not None and last.on is not None and act.on < last.on:
            yield Doubt(
                field=act.field,
                found=f"{act.words} on {act.on}",
                expected=f"on or after {last.on}, when it was {last.words}",
                mend="correct one of the two dates",
            )
        last = act


def dates_rule(check: Callable[[Any], Iterable[Doubt]]) -> Rule[Case[Any, Any]]:
    """Return the rule, common to all kinds of record."""
    return Rule("dates-out-of-order", Severity.ERROR, "common practice", check)


UNKNOWN_CODE_EXPECTED = "a staff code in lab.yaml"
UNKNOWN_CODE_MEND = "correct the code, or add the person to lab.yaml"


def unknown_code_rule(
    check: Callable[[Case[Any, Any]], Iterator[Doubt]],
) -> Rule[Case[Any, Any]]:
    """Return the rule, common to all kinds of record."""
    basis = "ISO/IEC 17025:2017, 7.5.1"
    return Rule("unknown-code", Severity.WARNING, basis, check)


StandardsNamed = Callable[[Case[Any, Any]], Iterable[tuple[Field, StandardUsed]]]
"""Each standard that a record names, with its field."""


def of_designation(used: StandardUsed, offered: str) -> tuple[str, str, str]:
    """Return found, expected and mend of an unknown designation."""
    near = f", perhaps to {offered}" if standard(offered) is not None else ""
    return (
        used.designation,
        f"a standard on file: {offered}",
        f"correct the designation{near}; a method not on file is not checked",
    )


def of_method(used: StandardUsed, offered: str) -> tuple[str, str, str]:
    """Return found, expected and mend of an unknown method."""
    known = standard(used.designation)
    named = known.designation if known is not None else used.designation
    return (
        f"Method {used.method}",
        f"a method of {named}: {offered}",
        "check the letter of the method on the bench sheet",
    )


def of_variant(used: StandardUsed, offered: str) -> tuple[str, str, str]:
    """Return found, expected and mend of an unknown variant."""
    if used.variant in variants(used.designation):
        mend = "check the letter of the method, or enter none; the agency does not use "
        mend += "this method"
    else:
        mend = f"enter perhaps {offered}, or none for the standard as published"
    known = ("none", *variants(used.designation, used.method))
    expected = f"a variant of Method {used.method}: {', '.join(known)}"
    return (used.variant, expected, mend)


WORDS = {"designation": of_designation, "method": of_method, "variant": of_variant}


def is_superseded(used: StandardUsed) -> bool:
    """Whether the edition is superseded: it may have had other methods."""
    known = standard(used.designation)
    edition = known.edition(used.edition) if known and used.edition else None
    return edition is not None and bool(edition.superseded_by)


def doubts(
    named: Iterable[tuple[Field, StandardUsed]], at: str, test: str
) -> Iterator[Doubt]:
    """Doubt each unknown standard, if `at` is the part at fault."""
    for field, used in named:
        wrong = unknown(used.designation, used.method, used.variant, test)
        if wrong is not None and wrong[0] == at:
            found, expected, mend = WORDS[at](used, wrong[1])
            lighter = at == "method" and is_superseded(used)
            weight = Severity.WARNING if lighter else None
            yield Doubt((*field, at), found, expected, mend, severity=weight)


def standard_rules(
    named: StandardsNamed, test: str = ""
) -> tuple[Rule[Case[Any, Any]], ...]:
    """Return the three checks for a kind of record that names standards."""

    def unknown_standard(case: Case[Any, Any]) -> Iterator[Doubt]:
        """The standard is not on file: its method is not checked."""
        yield from doubts(named(case), "designation", test)

    def unknown_method(case: Case[Any, Any]) -> Iterator[Doubt]:
        """The standard has no such method."""
        yield from doubts(named(case), "method", test)

    def unknown_variant(case: Case[Any, Any]) -> Iterator[Doubt]:
        """The agency's variant is unknown, or not for this method."""
        yield from doubts(named(case), "variant", test)

    return (
        Rule("unknown-standard", Severity.WARNING, METHOD_NAMED, unknown_standard),
        Rule("unknown-method", Severity.ERROR, METHOD_NAMED, unknown_method),
        Rule("unknown-variant", Severity.WARNING, METHOD_NAMED, unknown_variant),
    )


METHOD_NAMED = "ISO/IEC 17025:2017, 7.8.2.1: a report identifies its method"
