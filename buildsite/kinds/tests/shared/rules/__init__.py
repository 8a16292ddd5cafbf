"""The checks that tests of every kind share."""

from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.kinds.tests.shared.rules import dates, demands, method, people, standing
from buildsite.record.flags import Rule


def shared(
    test: str, at_lines: demands.AtLines | None = None
) -> tuple[Rule[AnyTest], ...]:
    """
    Make the checks of standing, standard, days, people and demands for a kind.

    Those of balances and ovens are made in `equipment`, and `dates.UNDATED` is there
    for a kind without a rule of its own on its day.

    Parameters
    ----------
    test
        What its standards are of, as their rows say.
    at_lines
        Demands of the laboratory that are met line by line.
    """
    return (
        *standing.RULES,
        *method.rules_of(test),
        dates.ORDER,
        *people.RULES,
        *demands.rules_of(at_lines or {}),
    )
