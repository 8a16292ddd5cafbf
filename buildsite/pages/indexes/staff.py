"""The competence table: who may do what, from when until when. Never an e-mail."""

from collections.abc import Iterator
from dataclasses import replace

from buildsite.kinds.sheet import Note, Table
from buildsite.pages.indexes.index_context import Desk, File
from buildsite.pages.indexes.lists import flag_table
from buildsite.pages.page import Head

STAFF = ("Staff", "staff/index.html")

DOUBTED = ("no-authority", "unknown-code")
"""Flags of acts that the table does not cover."""

HOW = Note(
    "how",
    "How authority is judged",
    (
        "An act is judged by what its person could do on that day: work at the bench "
        "needs “test”, a review “review”, a departure or an issue “authorize”.",
        "Someone who leaves gets an “until” and stays in the table, for old tests "
        "still name them.",
    ),
)


def competence(desk: Desk) -> Iterator[Table]:
    """The laboratory's people, as its own record has them."""
    archive = desk.site.archive
    file = archive.find("laboratory", "lab")
    made = archive.outcome(file) if file is not None else None
    table = made.sheet().table("people") if made is not None else None
    if table is not None:
        yield replace(table, title="Roles and authority")


def staff(desk: Desk) -> File:
    """Show who may do what, and the open flags of acts beyond that."""
    label, path = STAFF
    doubted = [
        flag for flag in desk.flags if flag.flag in DOUBTED and not flag.accepted_by
    ]
    blocks: list[Table | Note] = [*competence(desk), HOW]
    if doubted:
        blocks.append(flag_table(doubted, "doubted", "Acts without authority"))
    head = Head("Laboratory", label, "Who may do what, and from when until when")
    return desk.page(path, head, blocks)
