"""Issues and amendments as an Atom feed (RFC 4287), newest first."""

from collections.abc import Iterator, Sequence
from datetime import date
from html import escape

from buildsite.values import dataclass

NAME = "feed.xml"
AUTHORITY = "buildsite.invalid,2026"
"""Naming authority of entries (RFC 4151). Nobody owns the domain (RFC 2606), so an
entry keeps its id wherever the site is moved; its digest makes the id unique."""

NEWEST = 50
NEVER = date(1970, 1, 1)
"""Date of a feed without entries: the clock is not read."""


@dataclass(frozen=True)
class Entry:
    """One issue: its address within the site, title and summary."""

    path: str
    digest: str
    title: str
    on: date
    summary: str


@dataclass(frozen=True)
class Feed:
    """All issues of a laboratory; `base` is the address of the site, if known."""

    title: str
    author: str
    base: str
    entries: Sequence[Entry]


def tag(name: str) -> str:
    """
    Return a permanent id (RFC 4151).

    >>> tag("HF-0117/r1")
    'tag:buildsite.invalid,2026:HF-0117/r1'
    """
    return f"tag:{AUTHORITY}:{name}"


def stamp(day: date) -> str:
    """
    Return a day in the form of RFC 3339.

    >>> stamp(date(2026, 3, 14))
    '2026-03-14T00:00:00Z'
    """
    return f"{day.isoformat()}T00:00:00Z"


def link(base: str, path: str, rel: str) -> str:
    """Return a link: absolute if the site's address is known, else from the feed."""
    lead = f"{base.rstrip('/')}/" if base else ""
    return f'<link rel="{rel}" href="{escape(lead + path)}"/>'


def feed_lines(feed: Feed) -> Iterator[str]:
    """Return the lines of the feed."""
    newest = max((entry.on for entry in feed.entries), default=NEVER)
    yield '<?xml version="1.0" encoding="utf-8"?>'
    yield '<feed xmlns="http://www.w3.org/2005/Atom">'
    yield f"<id>{tag('issues/' + escape(feed.author).replace(' ', '-'))}</id>"
    yield f"<title>{escape(feed.title)}</title>"
    yield f"<updated>{stamp(newest)}</updated>"
    yield f"<author><name>{escape(feed.author)}</name></author>"
    yield link(feed.base, "changes/index.html", "alternate")
    if feed.base:
        yield link(feed.base, NAME, "self")
    for entry in feed.entries[:NEWEST]:
        yield "<entry>"
        yield f"<id>{tag(entry.digest.replace(':', '/'))}</id>"
        yield f"<title>{escape(entry.title)}</title>"
        yield f"<updated>{stamp(entry.on)}</updated>"
        yield link(feed.base, entry.path, "alternate")
        yield f"<summary>{escape(entry.summary)}</summary>"
        yield "</entry>"
    yield "</feed>"


def atom(feed: Feed) -> bytes:
    """Return the feed: the same bytes for the same issues."""
    return ("\n".join(feed_lines(feed)) + "\n").encode()
