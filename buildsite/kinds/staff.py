"""What records of several kinds say of a staff code that nobody bears."""

from collections.abc import Callable, Iterator
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.record.flags import Doubt, Rule, Severity

UNKNOWN_CODE_EXPECTED = "a staff code of lab.yaml"
UNKNOWN_CODE_MEND = "correct the code, or add the person to lab.yaml"


def unknown_code(
    check: Callable[[Case[Any, Any]], Iterator[Doubt]],
) -> Rule[Case[Any, Any]]:
    """Make the rule: one flag, whichever kind of record raises it."""
    basis = "ISO/IEC 17025:2017, 7.5.1"
    return Rule("unknown-code", Severity.WARNING, basis, check)


CUSTOMER = "customer"
"""Stands for a staff code where the customer did it."""


def doer(code: str) -> str:
    """
    Write who did it; what the customer did is marked (ISO/IEC 17025:2017, 7.8.2.2).

    >>> doer("T07"), doer("customer")
    ('T07', 'by the customer')
    """
    return "by the customer" if code == CUSTOMER else code
