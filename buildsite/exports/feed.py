"""Issues and amendments as an Atom feed (RFC 4287): what came, newest first."""

from collections.abc import Iterator, Sequence
from datetime import date
from html import escape

from buildsite.values import dataclass

NAME = "feed.xml"
AUTHORITY = "buildsite.invalid,2026"
"""Who names entries, as RFC 4151 asks. The domain is nobody's (RFC 2606), so that an
entry keeps its id wherever the site is moved; its digest makes it one of a kind."""

NEWEST = 50
NEVER = date(1970, 1, 1)
"""Date of a feed without entries: no clock is asked."""


@dataclass(frozen=True)
class Entry:
    """One issue: its address below the site, and what it says."""

    path: str
    digest: str
    title: str
    on: date
    summary: str


@dataclass(frozen=True)
class Feed:
    """All issues of a laboratory; `base` is where the site stands, if that is known."""

    title: str
    author: str
    base: str
    entries: Sequence[Entry]


def tag(name: str) -> str:
    """
    Name a thing for ever (RFC 4151).

    >>> tag("HF-0117/r1")
    'tag:buildsite.invalid,2026:HF-0117/r1'
    """
    return f"tag:{AUTHORITY}:{name}"


def stamp(day: date) -> str:
    """
    Write a day as RFC 3339 asks of a feed.

    >>> stamp(date(2026, 3, 14))
    '2026-03-14T00:00:00Z'
    """
    return f"{day.isoformat()}T00:00:00Z"


def link(base: str, path: str, rel: str) -> str:
    """Write a link: absolute where the site's place is known, else from the feed."""
    lead = f"{base.rstrip('/')}/" if base else ""
    return f'<link rel="{rel}" href="{escape(lead + path)}"/>'


def feed_lines(feed: Feed) -> Iterator[str]:
    """Write the feed, line by line."""
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
    """Write the feed: the same bytes for the same issues."""
    return ("\n".join(feed_lines(feed)) + "\n").encode()
