"""Issues and amendments as an Atom feed (RFC 4287), newest first."""

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from html import escape

from buildsite.values import dataclass

NAME = "feed.xml"
AUTHORITY = "buildsite.invalid,2026"
"""Naming authority of entries (RFC 4151). Nobody owns the domain (RFC 2606), so an
entry keeps its id wherever the site is moved; its digest makes the id unique."""

NEWEST = 50
NEVER = "1970-01-01T00:00:00Z"
"""Date of a feed without entries: the clock is not read."""


@dataclass(frozen=True)
class Entry:
    """
    One issue: its address within the site, title and summary.

    `at` is the time of its commit, ISO 8601 with an offset; blank where there is no
    history, so that only the day is known.
    """

    path: str
    digest: str
    title: str
    on: date
    summary: str
    at: str = ""

    @property
    def updated(self) -> str:
        """Return when it was issued, in UTC."""
        return moment(self.at) if self.at else stamp(self.on)


@dataclass(frozen=True)
class Feed:
    """
    All issues of a laboratory, or of one of its projects.

    `base` is the address of the site, if known; `path` the feed's own address within
    it, and `page` that of the page which lists the same.
    """

    title: str
    author: str
    base: str
    entries: Sequence[Entry]
    path: str = NAME
    page: str = "changes/index.html"
    about: str = "issues"  # names the feed among the laboratory's

    @property
    def lead(self) -> str:
        """What comes before an address within the site: its own, or the way up."""
        return (
            f"{self.base.rstrip('/')}/" if self.base else "../" * self.path.count("/")
        )


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


def moment(at: str) -> str:
    """
    Return a time with its offset as the same time in UTC (RFC 3339).

    >>> moment("2026-03-14T01:30:00+02:00")
    '2026-03-13T23:30:00Z'
    """
    when = datetime.fromisoformat(at).astimezone(UTC)
    return when.isoformat(timespec="seconds").replace("+00:00", "Z")


def link(feed: Feed, path: str, rel: str) -> str:
    """Return a link: absolute if the site's address is known, else from the feed."""
    return f'<link rel="{rel}" href="{escape(feed.lead + path)}"/>'


def feed_lines(feed: Feed) -> Iterator[str]:
    """Return the lines of the feed."""
    entries = sorted(feed.entries, key=lambda entry: entry.updated, reverse=True)
    newest = entries[0].updated if entries else NEVER
    name = escape(feed.author).replace(" ", "-")
    yield '<?xml version="1.0" encoding="utf-8"?>'
    yield '<feed xmlns="http://www.w3.org/2005/Atom">'
    yield f"<id>{tag(f'{feed.about}/{name}')}</id>"
    yield f"<title>{escape(feed.title)}</title>"
    yield f"<updated>{newest}</updated>"
    yield f"<author><name>{escape(feed.author)}</name></author>"
    yield link(feed, feed.page, "alternate")
    if feed.base:
        yield link(feed, feed.path, "self")
    for entry in entries[:NEWEST]:
        yield "<entry>"
        yield f"<id>{tag(entry.digest.replace(':', '/'))}</id>"
        yield f"<title>{escape(entry.title)}</title>"
        yield f"<updated>{entry.updated}</updated>"
        yield link(feed, entry.path, "alternate")
        yield f"<summary>{escape(entry.summary)}</summary>"
        yield "</entry>"
    yield "</feed>"


def atom(feed: Feed) -> bytes:
    """Return the feed: the same bytes for the same issues."""
    return ("\n".join(feed_lines(feed)) + "\n").encode()
