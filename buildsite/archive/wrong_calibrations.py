"""Tests that relied on equipment found wrong: the flag on each of them."""

from collections.abc import Callable, Iterator
from datetime import date
from typing import TYPE_CHECKING

from buildsite.archive.records import Entry
from buildsite.kinds.across import RELIED_ON_WRONG
from buildsite.kinds.answers import CALIBRATED
from buildsite.kinds.outcome import flag_of
from buildsite.record.flags import Doubt, Flag

if TYPE_CHECKING:
    from buildsite.kinds.equipment.uses import Piece


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
) -> Iterator[tuple[str, date, Doubt]]:
    """Return the equipment found wrong that a test relied on: id, found on, doubt."""
    record = entry.record
    if entry.kind is None or entry.kind.group != "test" or record is None:
        return
    if record.status == WITHDRAWN:
        return
    from buildsite.kinds.equipment.uses import standard_of, wrong_in_test

    standard, seen = standard_of(record), set()
    for ref in entry.refs:
        if ref.asks not in CALIBRATED or ref.on is None or (ref.id, ref.on) in seen:
            continue
        seen.add((ref.id, ref.on))
        piece = piece_of(ref.id)
        if piece is not None:
            for found, doubt in wrong_in_test(piece, ref.field, ref.on, standard):
                yield ref.id, found, doubt


WITHDRAWN = "withdrawn"
