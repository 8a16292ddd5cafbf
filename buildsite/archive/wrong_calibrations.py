"""Tests that relied on equipment found wrong: the flag on each of them."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from buildsite.archive.records import Entry
from buildsite.kinds.across import RELIED_ON_WRONG
from buildsite.kinds.answers import CALIBRATED
from buildsite.kinds.outcome import flag_of
from buildsite.record.flags import Flag

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
    record = entry.record
    if entry.kind is None or entry.kind.group != "test" or record.status == WITHDRAWN:
        return
    from buildsite.kinds.equipment.uses import standard_of, wrong_in_test

    standard, seen = standard_of(record), set()
    for ref in entry.refs:
        if ref.asks not in CALIBRATED or ref.on is None or (ref.id, ref.on) in seen:
            continue
        seen.add((ref.id, ref.on))
        piece = piece_of(ref.id)
        if piece is not None:
            for doubt in wrong_in_test(piece, ref.field, ref.on, standard):
                yield flag_of(RELIED_ON_WRONG, doubt, entry.source)


WITHDRAWN = "withdrawn"
