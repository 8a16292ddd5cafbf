"""Tests that relied on equipment found wrong: the flag on each of them."""

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING

from buildsite.archive.entries import Entry
from buildsite.archive.identity import group_of, name_of
from buildsite.kinds.across import RELIED_ON_WRONG
from buildsite.kinds.field_answers import EQUIPMENT_ANSWERS
from buildsite.kinds.outcome import flag_of
from buildsite.kinds.traces import standard_of
from buildsite.record.flags import Doubt, Flag

if TYPE_CHECKING:
    from buildsite.kinds.equipment.piece import Look, Piece


def flags_of_wrong_calibrations(
    entry: Entry, piece_of: Callable[[str], "Piece | None"]
) -> Iterator[Flag]:
    """
    Return the flags of a test that relied on equipment found wrong.

    Each use of each piece is looked up in the calibrations of that piece, later ones
    included. They stand until the tests were assessed; a withdrawn test has none.
    """
    for _, _, doubt in wrong_uses(entry, piece_of):
        yield flag_of(RELIED_ON_WRONG, doubt, entry.source)


def wrong_uses(
    entry: Entry, piece_of: Callable[[str], "Piece | None"]
) -> Iterator[tuple[str, "Look", Doubt]]:
    """Return the equipment found wrong that a test relied on: id, finding, doubt."""
    record = entry.record
    if entry.kind is None or entry.kind.group != "test" or record is None:
        return
    if record.status == WITHDRAWN:
        return
    from buildsite.kinds.equipment.uses import wrong_in_test

    standard, seen = standard_of(record), set()
    for ref in entry.refs:
        use = (ref.id, ref.on, ref.about)
        if ref.asks not in EQUIPMENT_ANSWERS or ref.on is None or use in seen:
            continue
        seen.add(use)
        piece = piece_of(ref.id)
        if piece is not None:
            for found, doubt in wrong_in_test(
                piece, ref.field, ref.on, standard, ref.about
            ):
                yield ref.id, found, doubt


WITHDRAWN = "withdrawn"


def tests_used(inputs: Iterable[str], file: str) -> Iterator[str]:
    """
    Return the records of the tests among the inputs of a test, without its own.

    >>> list(tests_used(["records/p/tests/G-1.issued.yaml#0"], ""))
    ['records/p/tests/G-1.yaml']
    """
    for name in inputs:
        path = name.partition("#")[0].removesuffix(".yaml").removesuffix(".issued")
        record = f"{path}.yaml"
        if record != file and group_of(record) == "test":
            yield record


def doubts_through(
    other: str, uses: Iterable[tuple[str, "Look", Doubt]]
) -> Iterator[Doubt]:
    """Doubt a test for what another one, which it uses, relied on."""
    id = name_of(other)
    for _, _, doubt in uses:
        yield Doubt(
            field=(),
            found=f"{id}, which this test uses, relied on {doubt.found}",
            expected=doubt.expected,
            mend=f"assess {id} first: once it is amended, this test shows what changes",
        )
