"""Planning of an issue: all its files, before any is written."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from buildsite.archive.across import flags_across, traces_of
from buildsite.archive.amendments import Amendment, amendment, earlier_report
from buildsite.archive.archive import Archive
from buildsite.archive.dependents import in_order
from buildsite.archive.drift import reported, same_used
from buildsite.archive.identity import name_of
from buildsite.archive.issue_item import Order, new_item, result_to_keep, revision_name
from buildsite.archive.known_programs import known_programs
from buildsite.archive.states import archive_at
from buildsite.history.run import checkout
from buildsite.issuing.cautions import (
    cautions,
    others_named,
    several_customers,
    since_review,
)
from buildsite.issuing.plan import Issue, Plan, begin_plan
from buildsite.issuing.refused import (
    Refused,
    chain_faults,
    cut_short,
    not_mended,
    not_ready,
    nothing_moved,
    of_other_projects,
    open_errors,
    uncommitted,
    unfit_to_keep,
    unissued,
    without_authority,
)
from buildsite.issuing.report_pdf import drawn_here_by, report_pdf
from buildsite.kinds.outcome import Outcome
from buildsite.record.canonical import digest
from buildsite.record.issued import appended, closed, issued_name, kept_name, quoted
from buildsite.record.set_field import CannotAmend, set_field
from buildsite.record.source import read_source
from buildsite.software import fingerprint, software


def plan_issue(root: Path, ids: Sequence[str], order: Order) -> Plan:
    """
    Return the plan of an issue, each test after those whose results it uses.

    Raises
    ------
    Refused
        With every reason, if any of the tests may not be issued.
    """
    plan = begin_plan(root, order)
    try:
        reasons = plan_all(plan, ids)
    finally:
        plan.close()
    if reasons:
        raise Refused(reasons)
    return plan


def plan_all(plan: Plan, ids: Sequence[str]) -> list[str]:
    """Add every test to a plan; return the reasons against."""
    order = plan.order
    archive = plan.archive()
    others = committed(plan, archive)
    tests = others.files("test") if order.reports_result else []
    plan.across_flags = flags_across(others, traces_of(others, tests))
    archive.across_flags = plan.across_flags
    reasons = list(without_authority(archive, order.by, "authorize", order.on))
    files = in_order(archive, files_of(archive, ids))
    reasons += several_customers(archive, files, order)
    for file in files:
        reasons += plan_test(plan, plan.archive(), file)
    return [*reasons, *unfit_to_keep(plan.files, archive.laboratory)]


def committed(plan: Plan, archive: Archive) -> Archive:
    """
    Return the archive that tests are compared in: as committed.

    A warning of a report must be found again by `verify`, which has commits alone.
    """
    if not checkout(plan.root).differs:
        return archive
    found = archive_at(plan.past, plan.head)
    found.shared = plan.shared
    return found


def files_of(archive: Archive, ids: Sequence[str]) -> list[str]:
    """Return the files of tests; refuse one that is not committed."""
    found = {id: archive.find("test", id) for id in ids}
    lost = [id for id, file in found.items() if file is None]
    if lost:
        raise Refused(f"{id} is not committed: commit its record first." for id in lost)
    return [file for file in found.values() if file is not None]


def plan_test(plan: Plan, archive: Archive, file: str) -> list[str]:
    """Add one test to a plan; return the reasons against."""
    chain = archive.chain(file)
    faults = list(cut_short(plan.root, name_of(file), chain[0]))
    faults = faults or list(chain_faults(name_of(file), chain, plan.order))
    if faults:
        return faults
    steps = {"withdrawal": plan_withdrawal, "assessment": plan_assessment}
    step = steps.get(plan.order.sort, plan_report)
    return list(step(plan, archive, file))


def plan_report(plan: Plan, archive: Archive, file: str) -> Iterator[str]:
    """Plan a report, final or preliminary; yield the reasons against."""
    outcome, (issued, _) = archive.outcome(file), archive.chain(file)
    if outcome is None:
        yield from open_errors(file, archive.flags(file))
        return
    reasons = [
        *open_errors(outcome.id, outcome.flags),
        *not_ready(outcome, plan.order),
        *unissued(archive, outcome, plan.order),
        *of_other_projects(archive, outcome),
        *nothing_moved(outcome, issued, plan.order),
        *as_committed(plan, outcome),
    ]
    yield from reasons
    if not reasons:
        earlier = earlier_report(issued)
        then = plan.as_issued(earlier, file) if earlier is not None else None
        amends = (
            amendment(issued, earlier, then, outcome) if issued and earlier else None
        )
        add_item(plan, archive, outcome, amends)


def plan_withdrawal(plan: Plan, archive: Archive, file: str) -> Iterator[str]:
    """Plan a withdrawal: the record's status, and a notice."""
    issued, _ = archive.chain(file)
    last, name = (issued.last_report if issued else None), issued_name(file)
    if last is None:
        yield f"{name_of(file)}: no report was issued, so none can be withdrawn."
        return
    if last.kind == "withdrawal":
        yield f"{name_of(file)} was already withdrawn on {last.issued_on}."
        return
    standing = {file: plan.working(file), name: plan.working(name)}
    reasons = list(uncommitted(plan.root, name_of(file), standing))
    if reasons:
        yield from reasons
        return
    try:
        plan.files[file] = withdrawn_text(archive, file, plan.order)
    except CannotAmend as fault:
        yield str(fault)
        return
    after = plan.archive()
    outcome = after.outcome(file)
    if outcome is None:
        yield from open_errors(file, after.flags(file))
        return
    add_item(plan, after, outcome, Amendment(last))


def withdrawn_text(archive: Archive, file: str, order: Order) -> bytes:
    """Return a record's text with its status and the reason of withdrawal."""
    source = archive.entry(file).source
    if isinstance(source.tree.get("withdrawn"), Mapping):
        raise CannotAmend(f"{file} already has a field `withdrawn:`. Delete it first.")
    source = read_source(file, set_field(source, ("status",), "withdrawn"))
    inside = f"{{on: {order.on}, by: {order.by}, reason: {quoted(order.reason)}}}"
    return set_field(source, ("withdrawn",), inside, before="status")


def plan_assessment(plan: Plan, archive: Archive, file: str) -> Iterator[str]:
    """Plan an assessment: what this program computes for an issued revision."""
    issued, _ = archive.chain(file)
    wanted = plan.order.assesses
    items = issued.items if issued is not None else ()
    item = next((one for one in items if one.revision == wanted), None)
    if item is None or item.kind not in ("report", "preliminary"):
        yield f"{name_of(file)}: r{wanted} is not a report; nothing to assess."
        return
    outcome = plan.as_issued(item, file)
    if outcome is None:
        yield f"{name_of(file)}: the inputs of r{wanted} are not in this repository."
        return
    chain = issued_name(file)
    reasons = list(uncommitted(plan.root, outcome.id, {chain: plan.working(chain)}))
    if reasons:
        yield from reasons
        return
    same = reported(outcome) == dict(item.results) and same_used(outcome, item)
    same = same and item.software.fingerprint in {fingerprint(), *known_programs()}
    if same and not plan.order.breaks:
        what = revision_name(outcome.id, item.revision)
        yield f"{what}: the results are as issued; nothing to assess."
        return
    if issued is not None and plan.order.breaks:
        reasons = list(not_mended(plan.past, issued, plan.order.breaks))
        yield from reasons
        if reasons:
            return
    add_item(plan, archive, outcome, None)


def as_committed(plan: Plan, outcome: Outcome) -> Iterator[str]:
    """Yield the inputs and files to write that differ from HEAD."""
    chain = issued_name(outcome.file)
    named = {name.partition("#")[0] for name in outcome.inputs}
    files: dict[str, bytes | None] = {
        name: plan.read(name) for name in sorted(named - plan.files.keys())
    }
    if chain not in plan.files:
        there = chain in plan.listing.issued
        files[chain] = plan.read(chain) if there else None
    yield from uncommitted(plan.root, outcome.id, files)


def add_item(
    plan: Plan, archive: Archive, outcome: Outcome, amends: Amendment | None
) -> None:
    """Add an item and its kept files to a plan."""
    name, order = issued_name(outcome.file), plan.order
    issued, _ = archive.chain(outcome.file)
    revision = len(issued.items) if issued is not None else 0
    result = (
        result_to_keep(outcome, software(), revision, order)
        if order.reports_result
        else None
    )
    item = new_item(outcome, order, revision, software(), result)
    before = issued.trees[-1] if issued is not None and issued.trees else None
    item = closed(item, before)
    warnings = list(cautions(archive, outcome, issued, order))
    if order.sort != "assessment":
        page = report_page(archive, outcome, order, item, amends)
        item = {**item, "report": digest(page)}
        plan.files[kept_name(outcome.file, revision, "html")] = page
        if order.pdf:
            by, number = drawn_here_by(), revision_name(outcome.id, revision)
            pdf = report_pdf(number, page, result, item["content"], order.on)
            item = {**item, "pdf": digest(pdf), "pdf_drawn_by": by}
            plan.files[kept_name(outcome.file, revision, "pdf")] = pdf
        item = closed(item, before)
        warnings += others_named(archive, outcome, order, page)
    if result is not None:
        plan.files[kept_name(outcome.file, revision, "json")] = result
    standing = plan.read(name) if issued is not None else None
    plan.files[name] = appended(standing, outcome.id, item)
    if order.sort == "report":
        warnings += since_review(plan.past, outcome, plan.shared)
    plan.issues.append(
        Issue(
            revision_name(outcome.id, revision), order, outcome, amends, tuple(warnings)
        )
    )


def report_page(
    archive: Archive,
    outcome: Outcome,
    order: Order,
    item: Mapping[str, Any],
    amends: Amendment | None,
) -> bytes:
    """Return the report to keep."""
    from buildsite.pages.page import site_of
    from buildsite.pages.revisions.kept_report import ReportDraft, kept_report
    from buildsite.pages.site_sources import Options

    site = site_of(archive, Options(software=software(), release=True))
    revision = int(item["revision"])
    return kept_report(
        site, ReportDraft(outcome, order, revision, item["content"], amends)
    )
