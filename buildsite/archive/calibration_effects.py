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
    it. `relied` are the calibrations that found the equipment wrong it relied on, while
    not assessed: day, and the options of `calibrate` that name its series. `issued` is
    the last report, such as r0; blank for none.
    """

    test: str
    file: str
    status: str
    issued: str
    reviewed: bool
    moves: bool
    results: tuple[ResultChange, ...]
    relied: tuple[tuple[date, str], ...]
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
    """
    Return the tests that move, or relied on the equipment found wrong.

    A calibration added or marked moves a test only if the equipment tells it something
    else, or if a test that it uses moves: no other test is computed.
    """
    tests = dependents(after, [file])
    direct = {test: answers_anew(before, after, test, name_of(file)) for test in tests}
    moving = any(direct.values())
    found = (
        affect(before, after, file, test)
        for test, anew in direct.items()
        if anew or (anew is None and moving) or days_relied(after, file, test)
    )
    return tuple(one for one in found if one is not None)


def answers_anew(before: Archive, after: Archive, test: str, id: str) -> bool | None:
    """Whether equipment tells a test something else; None if the test uses others."""
    old, new = before.piece(id), after.piece(id)
    refs = [ref for ref in after.entry(test).refs if ref.id == id]
    if old is None or new is None or not refs:
        return None
    return any(
        old.kind.answers(old.case, ref) != new.kind.answers(new.case, ref)
        for ref in refs
    )


def days_relied(after: Archive, file: str, test: str) -> tuple[tuple[date, str], ...]:
    """Return the calibrations that found equipment wrong which a test relied on."""
    uses = wrong_uses(after.entry(test), after.piece)
    return tuple(
        dict.fromkeys(
            (look.on, look.again) for used, look, _ in uses if used == name_of(file)
        )
    )


def affect(before: Archive, after: Archive, file: str, test: str) -> Affected | None:
    """Return what a test has of a changed record of equipment; None if nothing."""
    was, now = before.outcome(test), after.outcome(test)
    if now is None:
        return None
    moves = was is None or was.used != now.used
    relied = days_relied(after, file, test)
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
    """Return the commands by which a test that moves is reviewed and amended."""
    if one.status == "in-progress":
        yield f"buildsite enter {one.test}"
        return
    yield f"buildsite {'diff' if one.issued else 'show'} {one.test}"
    if one.issued or one.reviewed:
        yield f"buildsite review {one.test} --by CODE"
    if one.issued:
        yield (
            f'buildsite issue {one.test} --authorized-by CODE --reason "{plain(why)}"'
        )


def plain(text: str) -> str:
    """Return a reason as it can stand between double quotes in a shell."""
    return "".join(" " if letter in '"$`\\!' else letter for letter in text)


def in_order(found: Sequence[Affected]) -> list[Affected]:
    """Return issued tests first, those whose results change before the others."""
    return sorted(
        found,
        key=lambda one: (not one.issued, not one.results, not one.moves, one.test),
    )
