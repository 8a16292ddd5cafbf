"""The checks that tests of every kind share."""

from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.kinds.tests.shared.rules import dates, demands, method, people
from buildsite.record.flags import Rule


def common_rules(
    test: str,
    at_lines: demands.AtLines | None = None,
    undated: Rule[AnyTest] = dates.undated,
) -> tuple[Rule[AnyTest], ...]:
    """
    Make the checks of standard, days, people and demands for a kind.

    Parameters
    ----------
    test
        What its standards are of, as their rows say.
    at_lines
        Demands of the laboratory that are met line by line.
    undated
        The rule on its day, where it has one of its own.
    """
    return (
        *method.rules_of(test),
        dates.ORDER,
        undated,
        *people.RULES,
        *demands.rules_of(at_lines or {}),
    )
