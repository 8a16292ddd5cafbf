"""
A reading that a session left waiting: not in the record, so the next session tells it.

The note stands beside the slip of the session, in git's own folder.
"""

from pathlib import Path

from buildsite.entering.record_store import RecordStore
from buildsite.files import write_whole


def note_of(kept: RecordStore) -> Path | None:
    """Return the path of the note; None where a session leaves none."""
    return kept.slip.with_suffix(".left") if kept.slip is not None else None


def tell_once(kept: RecordStore) -> tuple[str, ...]:
    """Return which reading the last session did not keep, and forget the note."""
    note = note_of(kept)
    if note is None or not note.exists():
        return ()
    words = note.read_bytes().decode()
    note.unlink()
    return (f"Not kept when {kept.path.stem} was left: {words}. Enter it again.",)


def note_left(kept: RecordStore, words: str, by: str) -> None:
    """Note the reading that a session left waiting, if any."""
    note = note_of(kept)
    if note is not None and words:
        write_whole(note, f"{words} (typed by {by})".encode())
