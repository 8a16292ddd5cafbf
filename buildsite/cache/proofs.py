"""
What was proved in a clone before, in git's own folder: a question and what was told.

A store that can't be read holds nothing, and one that can't be written keeps nothing.
"""

import sqlite3
from contextlib import closing
from pathlib import Path

TABLE = """
CREATE TABLE IF NOT EXISTS proofs (
    number INTEGER PRIMARY KEY, asked TEXT NOT NULL UNIQUE, said TEXT NOT NULL)
"""
MOST = 50
"""Proofs kept, the newest."""


def place_in(git: Path) -> Path:
    """Return the file of the store, in git's own folder."""
    return git / "buildsite" / "verify.sqlite"


def said_of(place: Path, asked: str) -> str | None:
    """Return what was told of a question; None if nothing was."""
    if not place.is_file():
        return None
    try:
        with closing(sqlite3.connect(place, timeout=1)) as base:
            found = base.execute("SELECT said FROM proofs WHERE asked = ?", (asked,))
            row = found.fetchone()
    except sqlite3.Error:
        return None
    return str(row[0]) if row is not None else None


def keep(place: Path, asked: str, said: str) -> None:
    """Keep what is told of a question."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with closing(sqlite3.connect(place, timeout=1)) as base, base:
            base.execute(TABLE)
            base.execute(
                "INSERT OR REPLACE INTO proofs (asked, said) VALUES (?, ?)",
                (asked, said),
            )
            newest = "(SELECT max(number) FROM proofs)"
            base.execute(f"DELETE FROM proofs WHERE number <= {newest} - {MOST}")  # noqa: S608
    except sqlite3.OperationalError:
        return  # another one writes, or the disk is full
    except (sqlite3.Error, OSError):
        forget(place)


def forget(place: Path) -> None:
    """Throw everything away."""
    for suffix in ("", "-journal"):
        place.with_name(place.name + suffix).unlink(missing_ok=True)
