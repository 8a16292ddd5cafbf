"""The tables of a store, and what is asked of them."""

import sqlite3
from pathlib import Path

from buildsite.cache.unchanged import SUFFIX

Damaged = sqlite3.Error
"""What is raised where a store can't be read or written."""

FORMAT = "3"
"""Of the tables below; another one is not read."""

TABLES = """
CREATE TABLE about (name TEXT PRIMARY KEY, said TEXT NOT NULL);
CREATE TABLE questions (
    id INTEGER PRIMARY KEY, sort TEXT NOT NULL, of TEXT NOT NULL, answer TEXT NOT NULL);
CREATE UNIQUE INDEX question ON questions (sort, of);
CREATE TABLE steps (id INTEGER PRIMARY KEY, name TEXT NOT NULL, sorts TEXT NOT NULL);
CREATE TABLE made (
    step INTEGER PRIMARY KEY, value TEXT NOT NULL, asked TEXT NOT NULL);
CREATE TABLE asked (
    question INTEGER NOT NULL, step INTEGER NOT NULL,
    PRIMARY KEY (question, step)) WITHOUT ROWID;
CREATE TABLE outputs (
    path TEXT NOT NULL, step INTEGER NOT NULL, digest TEXT NOT NULL,
    size INTEGER NOT NULL, state TEXT NOT NULL,
    PRIMARY KEY (step, path)) WITHOUT ROWID;
CREATE TABLE files (
    path TEXT PRIMARY KEY, state TEXT NOT NULL, digest TEXT NOT NULL,
    blob TEXT NOT NULL) WITHOUT ROWID;
"""

ONE = "SELECT id, sort, of, answer FROM questions"

ASKED_BY = "SELECT id, name FROM steps JOIN asked ON id = step WHERE question = ?"

NOT_ASKED = """
DELETE FROM questions
WHERE id = ?1 AND NOT EXISTS (SELECT 1 FROM asked WHERE question = ?1)
"""


def remove(path: Path) -> None:
    """Delete a store, with what lies beside it."""
    path.with_suffix(SUFFIX).unlink(missing_ok=True)
    for suffix in ("", "-journal", "-wal", "-shm"):
        path.with_name(path.name + suffix).unlink(missing_ok=True)
