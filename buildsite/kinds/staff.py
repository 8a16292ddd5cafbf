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
