"""An outcome made into an issued item: what it says, before its report is drawn."""

from collections.abc import Mapping
from datetime import date
from typing import Any, Literal

from buildsite.archive.drift import reported
from buildsite.exports.result_json import as_json, envelope, flag_json
from buildsite.kinds.outcome import Outcome
from buildsite.record.canonical import digest
from buildsite.record.flags import Flag, Severity
from buildsite.values import dataclass

Sort = Literal["report", "preliminary", "withdrawal", "assessment"]


@dataclass(frozen=True)
class Order:
    """
    What is to be issued, by whom, when, why and to whom.

    `assesses` and `breaks` are an assessment's: the revision it judges, and the commit
    that broke the chain, if one did.
    """

    sort: Sort
    on: date
    by: str
    reason: str
    to: tuple[str, ...] = ()
    assesses: int | None = None
    breaks: str = ""

    @property
    def claims(self) -> bool:
        """Whether a result is claimed: then the record must stand."""
        return self.sort in ("report", "preliminary")


def revision_name(id: str, revision: int) -> str:
    """
    Write the number of a report.

    >>> revision_name("HF-0117", 1)
    'HF-0117 r1'
    """
    return f"{id} r{revision}"


def printed_flags(flags: tuple[Flag, ...]) -> tuple[Flag, ...]:
    """Flags that a report prints: notes are the laboratory's own."""
    return tuple(flag for flag in flags if flag.severity is not Severity.NOTE)


def result_to_keep(
    outcome: Outcome, software: Mapping[str, str], revision: int, order: Order
) -> bytes:
    """Write the result as issued: the public envelope, and which revision it is."""
    about = envelope(outcome, software)
    flags = [
        {**flag_json(flag), "message": flag.seen}
        for flag in printed_flags(outcome.flags)
    ]
    issued = {"flags": flags, "revision": revision, "issued_as": order.sort}
    return as_json({**about, **issued})


def new_item(
    outcome: Outcome,
    order: Order,
    revision: int,
    software: Mapping[str, str],
    result: bytes | None,
) -> dict[str, Any]:
    """
    Make the item of a revision, all but its `content`, `report` and `previous`.

    What is blank is left out, as the reader leaves it out.
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
        "results": results if order.claims else {},
        "software": dict(software),
        "assesses": "" if order.assesses is None else str(order.assesses),
        "computed": results if order.sort == "assessment" else {},
        "breaks": order.breaks,
        "result": digest(result) if result is not None else "",
    }
    return {key: value for key, value in item.items() if value}
