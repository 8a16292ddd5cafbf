"""Where the fill of a project stands, in a few words."""

from collections.abc import Iterator

from buildsite.archive.field_tests import FieldControl
from buildsite.archive.lifts import ACCEPTED, FAILED, MET, OPEN, Lift
from buildsite.kinds.field_control.closing import FAIL, Closed
from buildsite.kinds.field_control.results import FieldTest
from buildsite.kinds.sheet import Cell, Table
from buildsite.pages.tables import facts_table, link_cell

FOLDER = "field"

WORDS = {
    FAILED: "failing",
    OPEN: "open",
    MET: "met but not accepted",
    ACCEPTED: "accepted",
}
"""A number of lifts by their state."""


def counted(number: int, one: str) -> str:
    """
    Return a number of things in words.

    >>> counted(1, "lift"), counted(3, "lift")
    ('1 lift', '3 lifts')
    """
    return f"{number} {one}{'' if number == 1 else 's'}"


def lift_name(zone: str, lift: str) -> str:
    """
    Return a lift by its zone and number.

    >>> lift_name("embankment", "7"), lift_name("", "7"), lift_name("shoulder", "")
    ('embankment, lift 7', 'lift 7', 'shoulder')
    """
    return ", ".join(filter(None, (zone, f"lift {lift}" if lift else ""))) or "no lift"


def lifts_in_words(control: FieldControl) -> str:
    """Return how many lifts are in each state, the ones to act on first."""
    numbers = [(control.lifts_in(state), word) for state, word in WORDS.items()]
    return ", ".join(f"{number} {word}" for number, word in numbers if number)


def failing_in_words(control: FieldControl) -> str:
    """Return the failures that are not closed, each with its lift; empty for none."""
    named = [
        f"{test.id} ({lift_name(test.zone, test.lift)})" for test in control.failing
    ]
    if not named:
        return ""
    verb = "failure is" if len(named) == 1 else "failures are"
    return f"{len(named)} {verb} not closed: {'; '.join(named)}."


def again_in_words(number: int) -> str:
    """
    Return how many issued verdicts are to be judged again; empty for none.

    >>> again_in_words(1)
    '1 issued test is to be judged again: the reference was amended.'
    """
    if not number:
        return ""
    tests, verb = counted(number, "issued test"), "is" if number == 1 else "are"
    return f"{tests} {verb} to be judged again: the reference was amended."


def lift_state(lift: Lift) -> str:
    """Return where a lift stands, in words."""
    return ". ".join(part[:1].upper() + part[1:] for part in lift_parts(lift))


def lift_parts(lift: Lift) -> Iterator[str]:
    """Return the parts of where a lift stands."""
    paper = lift.acceptance
    if lift.failing:
        yield f"failing: {ids(lift.failing)} not closed"
    for lot in lift.low:
        yield f"failing: average of {', '.join(lot.tests)} is {lot.compared} %"
    if paper is not None and paper.issued:
        report = ", ".join(filter(None, (paper.id, paper.state)))
        yield f"accepted by {paper.by} on {paper.on} ({report})"
    elif lift.unjudged:
        yield f"open: {ids(lift.unjudged)} without a verdict"
    elif lift.state == OPEN:
        yield "open: too few tests" if lift.counted else "open: no test counts"
    elif lift.state == MET:
        yield f"met, {paper.id} not issued" if paper else "met, not yet accepted"
    if lift.settled:
        yield "; ".join(
            f"{test.id} failed, {closed_how(lift.closed[test.id])}"
            for test in lift.settled
        )


def ids(tests: tuple[FieldTest, ...]) -> str:
    """Return tests by id."""
    return ", ".join(test.id for test in tests)


def closed_how(closed: Closed) -> str:
    """Return how a failure was closed."""
    return f"retested by {closed.by}" if closed.by else closed.disposition


def closed_in_words(control: FieldControl, *, release: bool) -> str:
    """
    Return that no failure is left, where that is so.

    A client's copy has no more than the issued tests, and says so: a failure that was
    not issued yet is no closed one.
    """
    failed = any(test.verdict == FAIL for test in control.counted)
    if release:
        return (
            "Every failure among the issued tests is closed."
            if failed
            else "No issued test fails."
        )
    return "Every failure is closed." if failed else "No test fails."


def summary_table(control: FieldControl) -> Table:
    """Return the field control of a project as facts, with a link to its page."""
    page = link_cell(FOLDER, control.project, "Lifts, tests and figures")
    facts: list[tuple[str, Cell | str]] = [
        ("Lifts", lifts_in_words(control)),
        ("Field tests", tests_in_words(control)),
        ("Failures", failing_in_words(control)),
        ("Page", page),
    ]
    return facts_table("field-control", "Field control", facts)


def tests_in_words(control: FieldControl) -> str:
    """Return how many tests there are, and of these how many count."""
    shown = [test for test in control.tests if not test.withdrawn]
    counting = len([test for test in shown if test.counts])
    if counting == len(shown):
        return counted(len(shown), "test")
    return f"{counted(len(shown), 'test')}, {counting} for acceptance"
