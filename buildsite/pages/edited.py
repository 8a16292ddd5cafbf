"""Tests whose record was edited after its review: what was reviewed is not what is."""

from collections.abc import Mapping, Sequence
from typing import Any

from buildsite.kinds.across import EDITED
from buildsite.kinds.outcome import placed
from buildsite.pages.archive import Archive
from buildsite.pages.fields import spoken
from buildsite.record.changes import changes
from buildsite.record.edits import Past
from buildsite.record.flags import Doubt, Flag, spell
from buildsite.record.source import read_source
from buildsite.record.typed import present

AFTER = ("accepted", "format", "reviewed", "status", "withdrawn")
"""Fields that come with a review or follow it: what is reviewed are the others."""

NAMED = 3
"""Changed fields that a flag names."""

Tree = Mapping[str, Any]
Touched = Mapping[str, Sequence[int]]


def touching(past: Past) -> dict[str, list[int]]:
    """Path → places in `past.commits` of those that touched it, newest first."""
    found: dict[str, list[int]] = {}
    for place, commit in enumerate(past.commits):
        for touch in commit.touches:
            found.setdefault(touch.path, []).append(place)
    return found


def edited(
    archive: Archive, files: Sequence[str], past: Past, touched: Touched
) -> dict[str, tuple[Flag, ...]]:
    """
    Flag those of some tests that were edited after the review that they state.

    A record that stands as in the only commit which touched it was not: most are not
    read again. An edit of what a test rests on is told when it is issued.

    Parameters
    ----------
    archive, files
        The archive as it stands, and the tests asked about.
    past, touched
        Its past, and what `touching` gives of that.
    """
    found: dict[str, tuple[Flag, ...]] = {}
    for file in files:
        source, places = archive.entry(file).source, touched.get(file, ())
        if not source.tree.get("reviewed") or not places:
            continue
        newest = past.commits[places[0]].id
        if len(places) == 1 and past.read(newest, file) == source.data:
            continue
        then = as_reviewed(past, file, places, source.tree)
        doubt = since(then, source.tree) if then is not None else None
        if doubt is not None:
            found[file] = (placed(EDITED, doubt, source),)
    return found


def as_reviewed(past: Past, file: str, places: Sequence[int], now: Tree) -> Tree | None:
    """Give the record as it stood when its review came; None if no commit has it."""
    stood: Tree | None = None
    for place in places:
        data = past.read(past.commits[place].id, file)
        tree = read_source(file, data or b"").tree
        if tree.get("reviewed") != now.get("reviewed"):
            break
        stood = tree
    return stood


def since(then: Tree, now: Tree) -> Doubt | None:
    """Doubt a record that is not as it was reviewed."""
    old, new = (
        present({k: v for k, v in tree.items() if k not in AFTER})
        for tree in (then, now)
    )
    moved = [spoken(spell(change.field)) for change in changes(old, new)]
    if not moved:
        return None
    more = f" and {len(moved) - NAMED} more" if len(moved) > NAMED else ""
    review = now["reviewed"]
    by = f" by {review['by']}" if isinstance(review, dict) and review.get("by") else ""
    on = review.get("on", "") if isinstance(review, dict) else ""
    return Doubt(
        ("reviewed",),
        f"edited since the review{by} on {on}: {'; '.join(moved[:NAMED])}{more}",
        "the record as it was reviewed",
        f"have it reviewed again: `buildsite review {now.get('id', 'TEST')} --by CODE`",
    )
