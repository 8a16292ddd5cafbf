"""The checks common to all tests."""

from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.kinds.tests.shared.rules import dates, demands, method, people
from buildsite.record.flags import Rule


def common_rules(
    test: str,
    at_lines: demands.AtLines | None = None,
    undated: Rule[AnyTest] = dates.undated,
) -> tuple[Rule[AnyTest], ...]:
    """
    Return the checks of standard, dates, people and demands for a kind.

    `test` is the test of its standards, `at_lines` demands met line by line, `undated`
    the rule on a missing date if the kind has its own.
    """
    return (
        *method.rules_of(test),
        dates.ORDER,
        undated,
        *people.RULES,
        *demands.rules_of(at_lines or {}),
    )
