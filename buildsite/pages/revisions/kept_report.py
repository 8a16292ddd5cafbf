"""The kept report: the file that is sent, complete in itself."""

from base64 import b64encode
from collections.abc import Iterator, Mapping
from dataclasses import replace

from buildsite.archive.amendments import Amendment
from buildsite.archive.issue_item import Order, revision_name
from buildsite.archive.issued_files import link_of_report
from buildsite.kinds.laboratory.lab import signatory
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import readable_text, result_word, same_figure
from buildsite.kinds.sheet import Cell, Plot, Row, Sheet, Table, Target
from buildsite.pages.figure.names import figure_name
from buildsite.pages.links import Links
from buildsite.pages.page import INVENTED, Site
from buildsite.pages.qr_code import qr_code
from buildsite.pages.render import policy_of, render, template_file
from buildsite.pages.report.parts import kind_of_report, parties
from buildsite.pages.view_models import Block, Region, regions
from buildsite.record.report_address import report_code
from buildsite.values import dataclass

LEFT_OUT = ("caution",)
"""Roles of blocks for those who test, not for those who receive the report."""

TITLES = {
    "report": "report",
    "preliminary": "preliminary report",
    "withdrawal": "notice of withdrawal",
}


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
    history: tuple[str, ...]
    moved: tuple[str, ...]
    regions: tuple[Region, ...]
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
    plot = next((block for block in sheet.blocks if isinstance(block, Plot)), None)
    withdrawal = order.sort == "withdrawal"
    style = style_of(draft.number, draft.content)
    status, tone = status_of(draft)
    lab = site.lab
    address = link_of_report(lab, outcome.id)
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
        history=tuple(earlier_report_sentences(draft)),
        moved=draft.amends.values if draft.amends and draft.amends.final else (),
        regions=() if withdrawal else report_regions(site, sheet, draft),
        figure=""
        if plot is None or withdrawal
        else figure_url(plot, draft, sheet, site),
        content=draft.content,
        code=report_code(draft.content),
        address=address,
        qr=qr_code(address),
        end=f"End of report {draft.number}",
        style=style,
        policy=policy_of(style),
    )
    return render(page)


def style_of(number: str, content: str) -> str:
    """Return the style, with the report's number and digest on each printed page."""
    page = (
        "@page {\n"
        f'  @bottom-left {{ content: "{number}"; font: 600 7pt sans-serif; }}\n'
        # A face without ligatures, so that the digest can be copied out of a PDF.
        f'  @bottom-center {{ content: "{content}"; font: 5.5pt monospace; }}\n'
        "}\n"
    )
    return (
        template_file("style.css").decode() + template_file("kept.css").decode() + page
    )


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


def result_name(outcome: Outcome, name: str) -> str:
    """Return the standard's term for a result."""
    result = outcome.results.get(name)
    unit_name = result.reported.partition(" ")[2] if result is not None else ""
    return result_word(outcome.case.method, name, unit_name)


def report_regions(site: Site, sheet: Sheet, draft: ReportDraft) -> tuple[Region, ...]:
    """Return the blocks that leave the laboratory, changed values marked."""
    blocks = [
        block
        for block in sheet.blocks
        if isinstance(block, Plot)
        or not (block.role in LEFT_OUT or block.role == "forms")
    ]
    if draft.amends is not None and draft.amends.final:
        blocks = [mark_changes(block, draft.amends, draft.outcome) for block in blocks]
    links = NoLinks(site.archive, "")
    return regions(blocks, links, laboratory=False)


def mark_changes(block: Block, amends: Amendment, outcome: Outcome) -> Block:
    """Return a block with changes since the earlier report marked."""
    if not isinstance(block, Table):
        return block
    if block.role in ("results", "lesser"):
        was = changed_results(amends.item.results, outcome)
        rows = tuple(
            add_earlier_text(row, was, amends.item.revision) for row in block.rows
        )
        gone = sorted(set(amends.item.results) - outcome.results.keys())
        lost = [f"{result_name(outcome, name)} {was[name]}" for name in gone]
        told = lost and block.role == "results"
        note = f"No longer reported: {', '.join(lost)}." if told else ""
        return replace(block, rows=rows, note=f"{block.note} {note}".strip())
    if block.role == "points":
        rows = tuple(
            replace(row, mark="changed")
            if row.point in amends.points and not row.mark
            else row
            for row in block.rows
        )
        return replace(block, rows=rows)
    return block


def changed_results(old: Mapping[str, str], outcome: Outcome) -> dict[str, str]:
    """Return the changed results: name, and the text before."""
    now = {name: one.reported for name, one in outcome.results.items()}
    names = sorted(old.keys() | now.keys())
    return {
        name: readable_text(old[name]) if name in old else "not reported"
        for name in names
        if not same_figure(old.get(name, ""), now.get(name, ""))
    }


def add_earlier_text(row: Row, was: Mapping[str, str], revision: int) -> Row:
    """Return a row of results with the earlier text, if it differs."""
    if row.mark not in was:
        return row
    text = f"Changed: {was[row.mark]} in r{revision}"
    return replace(row, cells=(*row.cells, Cell(text)))
