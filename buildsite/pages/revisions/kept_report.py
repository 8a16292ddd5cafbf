"""The kept report: the file that is sent, complete in itself."""

from base64 import b64encode
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import islice, takewhile

from buildsite.archive.amendments import Amendment
from buildsite.archive.issue_item import Order, revision_name
from buildsite.archive.issued_files import address_on_report
from buildsite.kinds.laboratory.lab import signatory
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import readable_text
from buildsite.kinds.sheet import Note, Plot, Row, Sheet, Table, Target
from buildsite.pages.figure.names import figure_name
from buildsite.pages.links import Links
from buildsite.pages.page import INVENTED, Site
from buildsite.pages.qr_code import qr_code
from buildsite.pages.render import policy_of, render
from buildsite.pages.report.parts import kind_of_report, parties, plot_of
from buildsite.pages.revisions.kept_style import style_of
from buildsite.pages.revisions.marked_changes import mark_changes, result_name
from buildsite.pages.view_models import (
    LEAD,
    BlockView,
    Region,
    block_view,
    regions,
)
from buildsite.record.issued import report_code
from buildsite.values import dataclass

LEFT_OUT = ("caution",)
"""Roles of blocks for those who test, not for those who receive the report."""

Printed = Table | Note
"""A block of a report, but its figure."""

TITLES = {
    "report": "report",
    "preliminary": "preliminary report",
    "withdrawal": "notice of withdrawal",
}


@dataclass(frozen=True)
class Parts:
    """
    Blocks of a report at their places.

    `results` stand beside the number, with the `targets` if they are `tall`; `beside`
    stands next to the figure.
    """

    results: tuple[Region, ...]
    tall: bool
    targets: tuple[Region, ...]
    beside: tuple[Region, ...]
    plot: BlockView | None
    rest: tuple[Region, ...]


@dataclass(frozen=True)
class KeptReport:
    """Everything that the template of a kept report shows."""

    name: str
    laboratory: str
    place: str
    notices: tuple[str, ...]
    robots: str
    kicker: str
    title: str
    subtitle: str
    status: str
    tone: str
    facts: tuple[tuple[str, str], ...]
    history_title: str
    history: tuple[str, ...]
    moved: tuple[str, ...]
    parts: Parts
    figure: str
    content: str
    code: str  # first digits of the content, to be read out
    address: str  # where the current revision is told; blank: none is known
    qr: str  # the same as a picture
    end: str
    style: str
    policy: str
    template: str = "kept.html"


class NoLinks(Links):
    """Links of the blocks of a file that is sent by mail: none."""

    def has_page(self, target: Target) -> bool:
        """Return False: the file is sent alone."""
        return False


@dataclass(frozen=True)
class ReportDraft:
    """One revision, ready to be written."""

    outcome: Outcome
    order: Order
    revision: int
    content: str
    amends: Amendment | None = None

    @property
    def number(self) -> str:
        """Number of the report, printed on every page of it."""
        return revision_name(self.outcome.id, self.revision)


def kept_report(site: Site, draft: ReportDraft) -> bytes:
    """Return the report of a revision: the same bytes for the same draft."""
    outcome, order = draft.outcome, draft.order
    sheet = outcome.sheet()
    plot = plot_of(sheet) if order.sort != "withdrawal" else None
    code = report_code(draft.content)
    style = style_of(site.name, draft.number, code)
    status, tone = status_of(draft)
    lab = site.lab
    address = address_on_report(site.archive, outcome, lab)
    page = KeptReport(
        name=f"{draft.number} · {site.name}",
        laboratory=site.name,
        place=(lab.address or lab.place) if lab is not None else "",
        notices=(INVENTED,) if lab is not None and lab.invented else (),
        robots="none" if lab is not None and lab.robots == "none" else "",
        kicker=kind_of_report(outcome.title, TITLES[order.sort]),
        title=draft.number,
        subtitle=sheet.subtitle,
        status=status,
        tone=tone,
        facts=tuple(report_facts(site, draft)),
        history_title=history_title(draft),
        history=tuple(earlier_report_sentences(draft)),
        moved=draft.amends.values if draft.amends and draft.amends.final else (),
        parts=parts_of(site, sheet, draft, plot),
        figure=figure_url(plot, draft, sheet, site) if plot is not None else "",
        content=draft.content,
        code=code,
        address=address,
        qr=qr_code(address),
        end=f"End of report {draft.number}",
        style=style,
        policy=policy_of(style),
    )
    return render(page)


def parts_of(site: Site, sheet: Sheet, draft: ReportDraft, plot: Plot | None) -> Parts:
    """Return the blocks of a report, each at its place; a notice has none."""
    withdrawal = draft.order.sort == "withdrawal"
    blocks = [] if withdrawal else report_blocks(sheet, draft)
    lead = [*takewhile(lambda block: block.role in LEAD, blocks)]
    rest = blocks[len(lead) :]
    targets = [block for block in lead if block.role == "target"]
    results = [block for block in lead if block not in targets]
    beside = first_facts(rest) if plot is not None else []
    rest = [block for block in rest if block not in beside]
    if plot is not None:
        rest = list(said_once(rest, sheet.subtitle, plot.caption))
    links = NoLinks(site.archive, "")
    return Parts(
        results=regions(results, links, laboratory=False),
        tall=len(results) > 1,
        targets=regions(targets, links, laboratory=False),
        beside=regions(beside, links, laboratory=False),
        plot=block_view(plot, links) if plot is not None else None,
        rest=regions(rest, links, laboratory=False),
    )


def first_facts(blocks: Sequence[Printed]) -> list[Printed]:
    """Return the first block of facts: what was tested stands beside its curve."""
    found = (
        block
        for block in blocks
        if isinstance(block, Table) and block.role == "facts" and block.headed == "row"
    )
    return list(islice(found, 1))


def said_once(
    blocks: Iterable[Printed], standard: str, caption: str
) -> Iterator[Printed]:
    """Yield blocks without the facts that the head or the figure's caption states."""
    for block in blocks:
        if isinstance(block, Table) and block.role == "facts":
            rows = tuple(row for row in block.rows if not said(row, standard, caption))
            block = replace(block, rows=rows)
        yield block


def said(row: Row, standard: str, caption: str) -> bool:
    """Whether a fact is the standard of the head, or begins the caption."""
    label, stated = row.cells[0].text, row.cells[-1].text
    return stated == standard or caption.startswith(f"{label}: {stated}")


def figure_url(plot: Plot, draft: ReportDraft, sheet: Sheet, site: Site) -> str:
    """Return the figure as a data URL; it says itself which report it is of."""
    from buildsite.pages.figure.draw import svg

    # Without the line below it: the report around it says the same, and is the proof.
    whose = figure_name(plot.title, draft.number, sheet.subtitle, site.maker)
    drawn = svg(plot, replace(whose, strip=""))
    return f"data:image/svg+xml;base64,{b64encode(drawn).decode()}"


def status_of(draft: ReportDraft) -> tuple[str, str]:
    """Return the status line of the report, and its tone."""
    sort, amends = draft.order.sort, draft.amends
    if sort == "withdrawal":
        return "Withdrawn: do not use the result.", "stop"
    if sort == "preliminary":
        return "Preliminary: a final report will follow.", "open"
    if amends is not None and amends.final:
        earlier = revision_name(draft.outcome.id, amends.item.revision)
        return f"Amended report: amends report {earlier}.", "open"
    return "Final report.", "good"


def report_facts(site: Site, draft: ReportDraft) -> Iterator[tuple[str, str]]:
    """Return who tested where and for whom (ISO/IEC 17025:2017, 7.8.2.1)."""
    for label, text, _ in parties(draft.outcome, contact=True):
        yield label, text
    yield "Issued", draft.order.on.isoformat()
    by, on = draft.order.by, draft.order.on
    yield "Authorized by", signatory(site.lab, by, on)
    yield "Issued to", "; ".join(draft.order.to) or "not stated"


def earlier_report_sentences(draft: ReportDraft) -> Iterator[str]:
    """Return how this report relates to the earlier one (ISO/IEC 17025:2017, 7.8.8)."""
    amends, order = draft.amends, draft.order
    if amends is None:
        return
    item, sort = amends.item, order.sort
    earlier = f"{revision_name(draft.outcome.id, item.revision)} of {item.issued_on}"
    if sort == "withdrawal":
        yield f"Report {earlier} is withdrawn. Do not use its results."
        for name, text in item.results.items():
            name_of = result_name(draft.outcome, name)
            yield f"Withdrawn: {name_of}, {readable_text(text)}."
    elif not amends.final:
        yield f"This report follows the preliminary report {earlier}."
    elif sort == "preliminary":
        yield f"This preliminary report does not yet replace report {earlier}."
    else:
        yield f"This report amends report {earlier} and replaces it in full."
    if amends.withdrawn is not None:
        notice = revision_name(draft.outcome.id, amends.withdrawn.revision)
        yield f"The earlier report was withdrawn by {notice}."
    if amends.final or sort == "withdrawal":
        yield sentence(f"Reason: {order.reason}")
    sent = "; ".join(item.issued_to) or "not stated"
    yield sentence(f"The earlier report was sent to: {sent}")


def sentence(text: str) -> str:
    """
    Return a text with one full stop at its end.

    >>> sentence("misread."), sentence("misread")
    ('misread.', 'misread.')
    """
    return text if text.endswith((".", "!", "?")) else f"{text}."


def report_blocks(sheet: Sheet, draft: ReportDraft) -> list[Printed]:
    """Return the blocks that leave the laboratory, but the figure; changes marked."""
    blocks: list[Printed] = [
        block
        for block in sheet.blocks
        if not isinstance(block, Plot)
        and not (block.role in LEFT_OUT or block.role == "forms")
    ]
    if draft.amends is not None and draft.amends.final:
        blocks = [mark_changes(block, draft.amends, draft.outcome) for block in blocks]
    return blocks


def history_title(draft: ReportDraft) -> str:
    """Return what the report says of the earlier one, as a heading."""
    final = draft.amends is not None and draft.amends.final
    return (
        "Why it was amended"
        if final and draft.order.sort == "report"
        else ("Earlier report")
    )
