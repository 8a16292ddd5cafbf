"""The issued item of an outcome, before its report is rendered."""

from collections.abc import Mapping
from datetime import date
from typing import Any, Literal

from buildsite.archive.drift import reported
from buildsite.exports.result_json import as_json, envelope, flag_json
from buildsite.kinds.answers import FIRST_FORM
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.used_form import current_form
from buildsite.record.canonical import digest
from buildsite.record.flags import Flag, Severity
from buildsite.values import dataclass

Sort = Literal["report", "preliminary", "withdrawal", "assessment"]


@dataclass(frozen=True)
class Order:
    """
    What is to be issued, by whom, when, why and to whom.

    `assesses` and `breaks` are for an assessment: the revision assessed, and the commit
    that broke the chain, if any. `pdf`: the report is kept as a PDF, too.
    """

    sort: Sort
    on: date
    by: str
    reason: str
    to: tuple[str, ...] = ()
    assesses: int | None = None
    breaks: str = ""
    pdf: bool = False

    @property
    def reports_result(self) -> bool:
        """Whether a result is reported: then the record must have no errors."""
        return self.sort in ("report", "preliminary")


def revision_name(id: str, revision: int) -> str:
    """
    Return the number of a report.

    >>> revision_name("HF-0117", 1)
    'HF-0117 r1'
    """
    return f"{id} r{revision}"


def printed_flags(flags: tuple[Flag, ...]) -> tuple[Flag, ...]:
    """Return the flags that a report prints: notes are for the laboratory only."""
    return tuple(flag for flag in flags if flag.severity is not Severity.NOTE)


def result_to_keep(
    outcome: Outcome, software: Mapping[str, str], revision: int, order: Order
) -> bytes:
    """Return the result as issued, with its revision."""
    about = envelope(outcome, software)
    flags = [
        {**flag_json(flag), "message": flag.found_and_expected}
        for flag in printed_flags(outcome.flags)
    ]
    issued = {
        "flags": flags,
        "revision": revision,
        "issued": order.on,
        "issued_as": order.sort,
    }
    return as_json({**about, **issued})


def form_text(form: int) -> str:
    """Return the form of `used` as an item states it: the first is not stated."""
    return str(form) if form != FIRST_FORM else ""


def new_item(
    outcome: Outcome,
    order: Order,
    revision: int,
    software: Mapping[str, str],
    result: bytes | None,
) -> dict[str, Any]:
    """
    Return the item of a revision, without what follows from it and its report.

    Blank values are left out, as by the reader.
    """
    results = reported(outcome)
    item: dict[str, Any] = {
        "revision": str(revision),
        "kind": order.sort,
        "issued_on": order.on.isoformat(),
        "authorized_by": order.by,
        "reason": order.reason,
        "issued_to": list(order.to),
        "inputs": dict(outcome.inputs),
        "used": outcome.used,
        "used_form": form_text(current_form()),
        "results": results if order.reports_result else {},
        "software": dict(software),
        "assesses": "" if order.assesses is None else str(order.assesses),
        "computed": results if order.sort == "assessment" else {},
        "breaks": order.breaks,
        "result": digest(result) if result is not None else "",
    }
    return {key: value for key, value in item.items() if value}
