"""What a change of equipment's record does to tests: which move, which are assessed."""

from collections.abc import Iterator, Sequence
from datetime import date

from buildsite.archive.archive import Archive
from buildsite.archive.dependents import dependents
from buildsite.archive.differences import ResultChange, result_changes
from buildsite.archive.identity import name_of
from buildsite.archive.wrong_calibrations import wrong_uses
from buildsite.kinds.reporting import Spoken
from buildsite.values import dataclass


@dataclass(frozen=True)
class Affected:
    """
    One test that used the equipment.

    `moves`: a value used changes; `results` are the reported results that change with
    it. `relied` are the days of the calibrations that found the equipment wrong it
    relied on, while not assessed. `issued` is the last report, such as r0; blank for
    none.
    """

    test: str
    file: str
    status: str
    issued: str
    reviewed: bool
    moves: bool
    results: tuple[ResultChange, ...]
    relied: tuple[date, ...]
    method: Spoken

    @property
    def verdict(self) -> str:
        """Return what changes, in a word or two."""
        if self.results:
            return "reported results change"
        return "reported results stay" if self.moves else "no result changes"

    @property
    def standing(self) -> str:
        """Return how the test stands."""
        if self.issued:
            return f"issued as {self.issued}"
        return f"not issued, {self.status.replace('-', ' ')}"


def affected(before: Archive, after: Archive, file: str) -> tuple[Affected, ...]:
    """Return the tests that move, or relied on the equipment found wrong."""
    found = (affect(before, after, file, test) for test in dependents(after, [file]))
    return tuple(one for one in found if one is not None)


def affect(before: Archive, after: Archive, file: str, test: str) -> Affected | None:
    """Return what a test has of a changed record of equipment; None if nothing."""
    was, now, id = before.outcome(test), after.outcome(test), name_of(file)
    if now is None:
        return None
    moves = was is None or was.used != now.used
    uses = wrong_uses(after.entry(test), after.piece)
    relied = tuple(dict.fromkeys(found for used, found, _ in uses if used == id))
    if not moves and not relied:
        return None
    issued, _ = before.chain(test)
    last = issued.last_report if issued is not None else None
    return Affected(
        test=name_of(test),
        file=test,
        status=now.status,
        issued=f"r{last.revision}" if last is not None else "",
        reviewed=getattr(now.case.record, "reviewed", None) is not None,
        moves=moves,
        results=tuple(result_changes(was.results if was else {}, now.results)),
        relied=relied,
        method=now.case.method,
    )


def next_steps(one: Affected, why: str) -> Iterator[str]:
    """Return the commands by which a test is reviewed and amended."""
    if one.status == "in-progress":
        yield f"buildsite enter {one.test}"
        return
    if one.moves and (one.issued or one.reviewed):
        yield (
            f"buildsite diff {one.test}" if one.issued else f"buildsite show {one.test}"
        )
        yield f"buildsite review {one.test} --by CODE"
    if one.moves and one.issued:
        yield (
            f'buildsite issue {one.test} --authorized-by CODE --reason "{plain(why)}"'
        )
    if not one.moves:
        yield f"buildsite show {one.test}"


def plain(text: str) -> str:
    """Return a reason as it can stand between double quotes in a shell."""
    return "".join(" " if letter in '"$`\\!' else letter for letter in text)


def in_order(found: Sequence[Affected]) -> list[Affected]:
    """Return issued tests first, those whose results change before the others."""
    return sorted(
        found,
        key=lambda one: (not one.issued, not one.results, not one.moves, one.test),
    )
