"""
The log as an earlier run read it: only what came since is asked of git.

A commit's id stands for all that it came from. So where the newest commits are a line
that ends in the one that was newest then, the rest is what was read then, in the same
order. Else, as after a merge or a force-push, the whole is read again.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from buildsite.history.log import read_log
from buildsite.history.run import GitRefused
from buildsite.record.commits import Commit, Touch
from buildsite.values import Same


class KeptLog:
    """The log as text, from which it is read and to which it is written."""

    def __init__(self, text: str = "") -> None:
        self.text = text

    def read(self, root: Path, tip: str) -> tuple[Commit, ...]:
        """Return a commit and its ancestors, as `read_log`; keep them as text."""
        known = commits_of(self.text)
        if known and known[0].id == tip:
            return known
        new = since(root, tip, known[0].id) if known else None
        if new is None:
            found = tuple(read_log(root, tip))
            self.text = text_of(found)
            return found
        self.text = f"{text_of(new)}\n{self.text}"
        return (*new, *known)


def since(root: Path, tip: str, old: str) -> Sequence[Commit] | None:
    """Return the commits from a tip down to an older one; None if they are no line."""
    try:
        found = [*read_log(root, tip, old)]
    except GitRefused:
        return None  # the older one is in this clone no more
    wanted = [*(one.id for one in found[1:]), old]
    line = all(one.parents == (id,) for one, id in zip(found, wanted, strict=False))
    return found if found and line and found[0].id == tip else None


def text_of(commits: Sequence[Commit]) -> str:
    """Return commits as text, a line each."""
    write = json.JSONEncoder(separators=(",", ":")).encode
    return "\n".join(write(row_of(one)) for one in commits)


def row_of(one: Commit) -> list[Any]:
    """Return the fields of a commit."""
    touches = [[each.path, each.old, each.new] for each in one.touches]
    about = [one.id, one.parents, one.when, one.email, one.author_email, one.message]
    return [*about, one.trailers, touches]


def commits_of(text: str) -> tuple[Commit, ...]:
    """
    Return commits from text.

    >>> one = Commit("c1", ("c0",), "2026-03-11", "a@b.invalid", "", "Read again")
    >>> commits_of(text_of([one])) == (one,)
    True
    """
    return tuple(read_rows(map(json.loads, text.split("\n")))) if text else ()


def read_rows(rows: Iterable[list[Any]]) -> Iterator[Commit]:
    """Yield commits from their fields."""
    one = Same()
    for id, parents, when, email, author, message, trailers, touches in rows:
        yield Commit(
            one(id),
            tuple(map(one, parents)),
            when,
            one(email),
            one(author),
            message,
            one(trailers),
            tuple([Touch(one(path), one(old), one(new)) for path, old, new in touches]),
        )
