"""What was issued of a project's field control: what changed first, the rest folded."""

from collections.abc import Container, Iterator, Sequence
from dataclasses import replace

from buildsite.archive.archive import Archive
from buildsite.archive.judged_again import follow_of_reports
from buildsite.kinds.sheet import Cell, Row, Table
from buildsite.pages.indexes.news import News, address_of, news_text
from buildsite.pages.indexes.split_lists import SplitLists
from buildsite.pages.revisions.revision_status import replaced_report
from buildsite.pages.tables import columns, table_row
from buildsite.record.messages import counted

MOST_SHOWN = 6
"""Amendments and withdrawals in view: on a phone each takes several lines."""

HEADS = columns("Revision", "Issued", "Type", "Results", "Reason")


def change_tables(
    archive: Archive,
    news: Sequence[News],
    references: Container[str],
    lists: SplitLists,
) -> Iterator[Table]:
    """
    Return amendments and withdrawals, the rest folded.

    Verdicts that changed come first, then the references that changed them.
    `news` is newest first.
    """
    flips = {(one.id, one.item.revision): verdict_of(archive, one) for one in news}
    changed = [one for one in news if replaced(one) or one.item.kind == "withdrawal"]
    changed.sort(
        key=lambda one: (
            not flips[one.id, one.item.revision],
            one.id not in references,
        )
    )
    shown = changed[:MOST_SHOWN]
    rest = [one for one in news if one not in shown]
    if shown:
        rows = [news_row(one, flips[one.id, one.item.revision]) for one in shown]
        title = "What changed: amended and withdrawn, changed verdicts first"
        yield Table("news", title, HEADS, tuple(rows), role="more")
    if rest:
        what = "other issue" if shown else "issue"
        title = f"{counted(len(rest), what)}, newest first"

        def some(issues: Sequence[News]) -> Table:
            rows = [news_row(one, flips[one.id, one.item.revision]) for one in issues]
            return Table("issues", title, HEADS, tuple(rows), role="more")

        table = lists.table(rest, lambda one: one.item.issued_on, some, "issues")
        yield replace(table, role="folded")


def replaced(news: News) -> bool:
    """Whether it is a report that replaces another one."""
    return replaced_report(news.items, news.item) is not None


def verdict_of(archive: Archive, news: News) -> str:
    """Return what became of the verdict by an amendment, if it changed."""
    before = replaced_report(news.items, news.item)
    if before is None or news.file not in archive.known_names:
        return ""
    one = follow_of_reports(archive, news.file, before, news.item)
    return one.verdicts if one is not None and one.flipped else ""


def news_row(news: News, verdict: str) -> Row:
    """Return one issue: a changed verdict before its figures."""
    told = f"Verdict {verdict}. {news_text(news)}" if verdict else news_text(news)
    return table_row(
        Cell(f"{news.id} r{news.item.revision}", ("revision", address_of(news))),
        news.item.issued_on,
        "; ".join(filter(None, (news.what, news.ending))),
        told,
        news.item.reason,
        mark="withdrawn" if news.gone else "",
    )
