"""Whether those who acted are known, had the authority, and are not one person."""

from collections.abc import Iterator

from buildsite.kinds.answers import Staff
from buildsite.kinds.shared_rules import (
    UNKNOWN_CODE_EXPECTED,
    UNKNOWN_CODE_MEND,
    unknown_code_rule,
)
from buildsite.kinds.tests.shared.completeness import (
    gap_severity,
    is_complete,
    laboratory_of,
)
from buildsite.kinds.tests.shared.people import Action, actions
from buildsite.kinds.tests.shared.record import AnyTest, act_of, acts_at_lines, lines_of
from buildsite.record.flags import Doubt, Field, Rule, Severity, error, note, warning

AUTHORITY = "ISO/IEC 17025:2017, 6.2.5 and 6.2.6 (from memory)"
DEPARTURE = "ISO/IEC 17025:2017, 7.2.1.7 (from memory)"

JUDGEMENT = {"review", "authorize"}
"""Authorities without which an act settles nothing."""


def is_judgement(action: Action) -> bool:
    """Whether an act is void without its authority, as work at the bench is not."""
    return bool(action.authority) and set(action.authority) <= JUDGEMENT


def severity_of(action: Action) -> Severity | None:
    """An error where the act must be done again by another; else the rule's own."""
    return Severity.ERROR if is_judgement(action) else None


def actors(case: AnyTest) -> Iterator[tuple[Action, Staff | None]]:
    """Every act with its person; none where the laboratory could not be asked."""
    lab = laboratory_of(case)
    if lab is not None:
        for action in actions(case.record):
            yield action, lab.person(action.code)


def unknown_codes(case: AnyTest) -> Iterator[Doubt]:
    """A staff code that the laboratory does not know."""
    for action, who in actors(case):
        if who is None:
            yield Doubt(
                field=action.field,
                found=action.code,
                expected=UNKNOWN_CODE_EXPECTED,
                mend=UNKNOWN_CODE_MEND,
                severity=severity_of(action),
            )


def authorities_text(who: Staff) -> str:
    """Write a person's authorities and days as lab.yaml has them."""
    may = f"may {', '.join(who.may)}" if who.may else "may nothing"
    start = f" from {who.start}" if who.start else ""
    until = f" until {who.until}" if who.until else ""
    return f"{who.code} {may}{start}{until}"


def lacks(who: Staff, action: Action) -> bool:
    """Whether a person could not do that on that day."""
    if action.authority:
        return not any(who.had(one, action.on) for one in action.authority)
    # An entry has no day of its own: old paper is entered by people who came later,
    # but not by those who had left before the test.
    return action.on is not None and who.until is not None and action.on > who.until


@warning("no-authority", AUTHORITY)
def no_authority(case: AnyTest) -> Iterator[Doubt]:
    """An act of a person without the authority for it on that day."""
    for action, who in actors(case):
        if who is not None and lacks(who, action):
            need = " or ".join(action.authority) or "be on the staff"
            day = action.on or "a day not stated"
            yield Doubt(
                field=action.field,
                found=f"{authorities_text(who)}; {action.words} on {day}",
                expected=f"one who may {need} that day",
                mend="let one who has the authority do it, and write that code"
                if is_judgement(action)
                else "correct the code or the day; else judge what this work is worth",
                severity=severity_of(action),
            )


def bench_codes(case: AnyTest) -> dict[str, str]:
    """Who worked at the bench: code, and what for."""
    record = case.record
    acts = [(name, act_of(record, name)) for name in record.work.acts]
    acts += [(record.work.act, act) for _, act in acts_at_lines(record)]
    found: dict[str, str] = {}
    for words, act in acts:
        if act is not None and act.by is not None:
            found.setdefault(act.by, words)
    return found


@warning("reviewer-is-tester", "common practice")
def reviewer_is_tester(case: AnyTest) -> Iterator[Doubt]:
    """A review by one who did the work that is reviewed."""
    reviewed, lab = case.record.reviewed, laboratory_of(case)
    allowed = lab.reviewer_may_be_tester if lab is not None else None
    if reviewed is None or reviewed.by is None or allowed:
        return
    did = bench_codes(case).get(reviewed.by)
    if did is not None:
        yield Doubt(
            field=("reviewed", "by"),
            found=f"{reviewed.by}, who also {did} the soil",
            expected="another person than those who tested",
            mend="have another person review; a laboratory of two may say "
            "reviewer_may_be_tester: yes in lab.yaml",
            basis="the laboratory's procedures: reviewer_may_be_tester"
            if allowed is False
            else None,
        )


@warning("entry-checked-by-same-person", "ISO/IEC 17025:2017, 7.11.6 (from memory)")
def entry_checked_by_itself(case: AnyTest) -> Iterator[Doubt]:
    """An entry checked by the person who made it."""
    entered = case.record.entered
    if entered is not None and entered.by and entered.by == entered.checked_by:
        yield Doubt(
            field=("entered", "checked_by"),
            found=f"{entered.checked_by}, who entered the readings",
            expected="a second person",
            mend="have another person read the entry against the bench sheet",
        )


@note("not-reviewed", "common practice")
def not_reviewed(case: AnyTest) -> Iterator[Doubt]:
    """A complete test that nobody has reviewed, or a review without name or day."""
    reviewed = case.record.reviewed
    wanting = [
        part
        for part in ("on", "by")
        if reviewed is None or getattr(reviewed, part) is None
    ]
    if is_complete(case) and wanting:
        yield Doubt(
            field=("reviewed",),
            found="no review" if reviewed is None else f"no {' and no '.join(wanting)}",
            expected="who reviewed the test, and on which day",
            mend="run `buildsite review`, once the readings were looked at",
        )


@error("tester-missing", "ISO/IEC 17025:2017, 7.5.1")
def tester_missing(case: AnyTest) -> Iterator[Doubt]:
    """A complete test that does not say who made it."""
    record = case.record
    name = record.work.act
    lines, own = lines_of(record), list(acts_at_lines(record))
    by_line = lines and len(own) == len(lines) and all(act.by for _, act in own)
    act = act_of(record, name)
    nobody = act is None or act.by is None
    if nobody and not by_line and record.external is None:
        yield Doubt(
            field=(name, "by"),
            found="nobody",
            expected=f"the staff code of who {name} the soil",
            mend="look at the bench sheet",
            severity=gap_severity(case),
        )


def departures_without(
    case: AnyTest, name: str, expected: str, mend: str
) -> Iterator[Doubt]:
    """Doubt each departure that lacks one of its parts."""
    for i, one in enumerate(case.record.deviations):
        if getattr(one, name) is None:
            field: Field = ("deviations", i, name)
            yield Doubt(field, "nothing", expected, mend)


@warning("departure-without-authority", DEPARTURE)
def departure_without_authority(case: AnyTest) -> Iterator[Doubt]:
    """A departure from the method that nobody authorized."""
    yield from departures_without(
        case,
        "authorized_by",
        "the staff code of who authorized the departure",
        "ask one who may authorize, or test again by the method",
    )


@note("departure-without-customer", DEPARTURE)
def departure_without_customer(case: AnyTest) -> Iterator[Doubt]:
    """A departure from the method that the customer was not asked about."""
    yield from departures_without(
        case,
        "customer_agreed_on",
        "the day on which the customer agreed",
        "ask the customer before the report goes out",
    )


@error("withdrawal-without-reason", "common practice")
def withdrawal_without_reason(case: AnyTest) -> Iterator[Doubt]:
    """A withdrawn test that does not say why."""
    why = case.record.withdrawn
    if case.record.status == "withdrawn" and (why is None or why.reason is None):
        yield Doubt(
            field=("withdrawn", "reason"),
            found="nothing",
            expected="why the test was withdrawn",
            mend="write withdrawn: {on: …, by: …, reason: …}",
        )


@warning("withdrawal-unlike-status", "common practice")
def withdrawal_unlike_status(case: AnyTest) -> Iterator[Doubt]:
    """A reason to withdraw a test whose status says otherwise."""
    record = case.record
    if record.withdrawn is not None and record.status != "withdrawn":
        yield Doubt(
            field=("status",),
            found=record.status,
            expected="withdrawn, for the record says why it was withdrawn",
            mend="write status: withdrawn, or take the other line out",
        )


RULES: tuple[Rule[AnyTest], ...] = (
    unknown_code_rule(unknown_codes),
    no_authority,
    reviewer_is_tester,
    entry_checked_by_itself,
    not_reviewed,
    tester_missing,
    departure_without_authority,
    departure_without_customer,
    withdrawal_without_reason,
    withdrawal_unlike_status,
)
