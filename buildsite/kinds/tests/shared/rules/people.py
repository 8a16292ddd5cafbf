"""Checks of people: known, authorized, and independent where required."""

from collections.abc import Iterator

from buildsite.kinds.answers import Staff, days_on_staff
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
from buildsite.standards.cells import UNCHECKED

AUTHORITY = f"ISO/IEC 17025:2017, 6.2.5 and 6.2.6 ({UNCHECKED})"
DEPARTURE = f"ISO/IEC 17025:2017, 7.2.1.7 ({UNCHECKED})"

JUDGEMENT = {"review", "authorize"}
"""Authorities for acts that are void without them."""


def is_judgement(action: Action) -> bool:
    """Whether an act is void without its authority; work at the bench is not."""
    return bool(action.authority) and set(action.authority) <= JUDGEMENT


def severity_of(action: Action) -> Severity | None:
    """Return an error for a judgement, which another must repeat; else None."""
    return Severity.ERROR if is_judgement(action) else None


def actors(case: AnyTest) -> Iterator[tuple[Action, Staff | None]]:
    """Return every act with its person; none where the laboratory is unknown."""
    lab = laboratory_of(case)
    if lab is not None:
        for action in actions(case.record):
            yield action, lab.person(action.code)


def unknown_codes(case: AnyTest) -> Iterator[Doubt]:
    """A staff code is not in lab.yaml."""
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
    """Return a person's authorities and dates as in lab.yaml."""
    may = f"may {', '.join(who.may)}" if who.may else "has no authority"
    return f"{who.code} {may}{days_on_staff(who.start, who.until)}"


def lacks(who: Staff, action: Action) -> bool:
    """Whether a person could not do that on that day."""
    if action.authority:
        return not any(who.had(one, action.on) for one in action.authority)
    # An entry has no date of its own: people who came later may enter old paper, but
    # not those who had left before the test.
    return action.on is not None and who.until is not None and action.on > who.until


@warning("no-authority", AUTHORITY)
def no_authority(case: AnyTest) -> Iterator[Doubt]:
    """A person acted without the authority for it on that date."""
    for action, who in actors(case):
        if who is not None and lacks(who, action):
            need = " or ".join(action.authority)
            need = f"a person authorized to {need}" if need else "a member of the staff"
            day = action.on or "a date not stated"
            yield Doubt(
                field=action.field,
                found=f"{authorities_text(who)}; {action.words} on {day}",
                expected=f"{need} on that date",
                mend="have an authorized person repeat the act, and enter that code"
                if is_judgement(action)
                else "correct the code or the date; else assess the validity of the "
                "work",
                severity=severity_of(action),
            )


def bench_codes(case: AnyTest) -> dict[str, str]:
    """Return who worked at the bench: code, and the act."""
    record = case.record
    acts = [(name, act_of(record, name)) for name in record.work.acts]
    for name in record.work.acts:
        acts += [(name, act) for _, act in acts_at_lines(record, name)]
    found: dict[str, str] = {}
    for words, act in acts:
        if act is not None and act.by is not None:
            found.setdefault(act.by, words)
    return found


@warning("reviewer-is-tester", "common practice")
def reviewer_is_tester(case: AnyTest) -> Iterator[Doubt]:
    """The reviewer did some of the work."""
    reviewed, lab = case.record.reviewed, laboratory_of(case)
    allowed = lab.reviewer_may_be_tester if lab is not None else None
    if reviewed is None or reviewed.by is None or allowed:
        return
    did = bench_codes(case).get(reviewed.by)
    if did is not None:
        yield Doubt(
            field=("reviewed", "by"),
            found=f"{reviewed.by}, who also {did} the soil",
            expected="a person other than those who tested",
            mend="have another person review; a small laboratory may set "
            "reviewer_may_be_tester: yes in lab.yaml",
            basis="the laboratory's procedures: reviewer_may_be_tester"
            if allowed is False
            else None,
        )


@warning("entry-checked-by-same-person", f"ISO/IEC 17025:2017, 7.11.6 ({UNCHECKED})")
def entry_checked_by_itself(case: AnyTest) -> Iterator[Doubt]:
    """The entry was checked by the person who made it."""
    entered = case.record.entered
    if entered is not None and entered.by and entered.by == entered.checked_by:
        yield Doubt(
            field=("entered", "checked_by"),
            found=f"{entered.checked_by}, who entered the readings",
            expected="a second person",
            mend="have another person check the entry against the bench sheet",
        )


@note("not-reviewed", "common practice")
def not_reviewed(case: AnyTest) -> Iterator[Doubt]:
    """A complete test has no review, or its review lacks code or date."""
    reviewed = case.record.reviewed
    missing = [
        part
        for part in ("on", "by")
        if reviewed is None or getattr(reviewed, part) is None
    ]
    if is_complete(case) and missing:
        yield Doubt(
            field=("reviewed",),
            found="no review" if reviewed is None else f"no {' and no '.join(missing)}",
            expected="who reviewed the test, and the date",
            mend="run `buildsite review` after checking the readings",
        )


@error("tester-missing", "ISO/IEC 17025:2017, 7.5.1")
def tester_missing(case: AnyTest) -> Iterator[Doubt]:
    """A complete test does not state who made it."""
    record = case.record
    name = record.work.act
    lines, own = lines_of(record), list(acts_at_lines(record))
    by_line = lines and len(own) == len(lines) and all(act.by for _, act in own)
    act = act_of(record, name)
    nobody = act is None or act.by is None
    if nobody and not by_line and record.external is None:
        yield Doubt(
            field=(name, "by"),
            found="not stated",
            expected=f"the staff code of the person who {name} the soil",
            mend="enter it from the bench sheet",
            severity=gap_severity(case),
        )


def departures_without(
    case: AnyTest, name: str, expected: str, mend: str
) -> Iterator[Doubt]:
    """Doubt each departure without that part."""
    for i, one in enumerate(case.record.deviations):
        if getattr(one, name) is None:
            field: Field = ("deviations", i, name)
            yield Doubt(field, "not stated", expected, mend)


@warning("departure-without-authority", DEPARTURE)
def departure_without_authority(case: AnyTest) -> Iterator[Doubt]:
    """Nobody authorized a departure from the method."""
    yield from departures_without(
        case,
        "authorized_by",
        "the staff code of the person who authorized the departure",
        "have an authorized person approve it, or repeat the test by the method",
    )


@note("departure-without-customer", DEPARTURE)
def departure_without_customer(case: AnyTest) -> Iterator[Doubt]:
    """The customer's agreement to a departure from the method is not stated."""
    yield from departures_without(
        case,
        "customer_agreed_on",
        "the date on which the customer agreed",
        "ask the customer before issuing the report",
    )


@error("withdrawal-without-reason", "common practice")
def withdrawal_without_reason(case: AnyTest) -> Iterator[Doubt]:
    """A withdrawn test does not state why."""
    why = case.record.withdrawn
    if case.record.status == "withdrawn" and (why is None or why.reason is None):
        yield Doubt(
            field=("withdrawn", "reason"),
            found="not stated",
            expected="the reason why the test was withdrawn",
            mend="enter withdrawn: {on: …, by: …, reason: …}",
        )


@warning("withdrawal-unlike-status", "common practice")
def withdrawal_unlike_status(case: AnyTest) -> Iterator[Doubt]:
    """The record states a withdrawal, but the status is not withdrawn."""
    record = case.record
    if record.withdrawn is not None and record.status != "withdrawn":
        yield Doubt(
            field=("status",),
            found=record.status,
            expected="withdrawn, as the record states a withdrawal",
            mend="enter status: withdrawn, or delete withdrawn",
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
