"""`issue`: a revision of one or more tests, kept with its report in one commit."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import click

from buildsite.archive.drift import reported
from buildsite.archive.issue_item import Order, Sort, printed_flags
from buildsite.cli.common import (
    archive_root,
    at_terminal,
    day_so_far,
    refuse,
    root_option,
    test_ids,
)
from buildsite.issuing.follows import follows_of_plan
from buildsite.issuing.keep import keep
from buildsite.issuing.plan import Issue, Plan
from buildsite.issuing.planning import plan_issue
from buildsite.issuing.refused import Refused
from buildsite.kinds.reporting import readable_text, result_word
from buildsite.pages.follows_text import follow_lines, heading


@click.command()
@click.argument("tests", nargs=-1, required=True, metavar="TEST...")
@click.option(
    "--authorized-by", "by", required=True, metavar="CODE", help="Who authorizes it."
)
@click.option(
    "--reason", required=True, help="Reason of the issue; an amendment prints it."
)
@click.option("--to", multiple=True, metavar="WHOM", help="Recipient; may be repeated.")
@click.option(
    "--on", "on", metavar="DATE", help="Date of issue, YYYY-MM-DD. Default: today."
)
@click.option("--preliminary", is_flag=True, help="Issue before review or completion.")
@click.option("--withdraw", is_flag=True, help="Withdraw the issued report.")
@click.option(
    "--assess", type=int, metavar="N", help="Record that revision N remains valid."
)
@click.option(
    "--breaks", metavar="COMMIT", help="With --assess: the commit that broke the chain."
)
@click.option("--pdf", is_flag=True, help="Keep the report as a PDF, too; needs Pango.")
@click.option("--no-commit", is_flag=True, help="Write the files, without a commit.")
@root_option
def issue(
    tests: tuple[str, ...],
    root: Path | None,
    *,
    no_commit: bool,
    **given: Any,
) -> None:
    """
    Issue TEST: append a revision, keep its report and its result, in one commit.

    Shows first what will be issued and, at a terminal, asks for confirmation. Several
    tests are issued together; a test whose result another one uses goes first.

    Example: buildsite issue HF-0109 --authorized-by E02 --reason "first issue"
    """
    folder = archive_root(root)
    order = order_of(folder, given)
    ids = test_ids(folder, tests)
    try:
        plan = plan_issue(folder, ids, order)
        for one in plan.issues:
            click.echo("\n".join(issue_lines(one)), err=True)
        for line in verdict_lines(plan):
            click.echo(line, err=True)
        if at_terminal():
            click.confirm("Issue this?", abort=True, err=True)
        keep(plan, committing=not no_commit)
    except Refused as refused:
        refuse(*refused.reasons, nothing="Nothing was issued.")
    for one in plan.issues:
        click.echo(one.number)
        click.echo("\n".join(kept_lines(plan, one)), err=True)
    click.echo(f"Next: {next_step(order, committing=not no_commit)}", err=True)


DONE = {
    "report": "issued",
    "preliminary": "issued, preliminary",
    "withdrawal": "withdrawn",
    "assessment": "assessed",
}


def kept_lines(plan: Plan, one: Issue) -> Iterator[str]:
    """Yield what was issued, and the files that keep it."""
    item = one.number.replace(" ", ".")
    yield f"    {DONE[one.order.sort]} on {one.order.on} by {one.order.by}"
    for name in sorted(plan.files):
        if name.rpartition("/")[2].startswith(f"{item}.") and name.endswith(
            (".html", ".pdf")
        ):
            yield f"    kept: {name}"


def next_step(order: Order, *, committing: bool) -> str:
    """Return what follows an issue."""
    if not committing:
        return "commit these files, and nothing else with them."
    if order.sort == "preliminary":
        return "complete and review the test, then issue it without --preliminary."
    return (
        "`git push`, if the archive has a server; `buildsite build --release` writes "
        "the site for clients."
    )


def order_of(root: Path, given: Mapping[str, Any]) -> Order:
    """Return the order that the options give; refuse contradictory ones."""
    sorts: dict[Sort, bool] = {
        "preliminary": given["preliminary"],
        "withdrawal": given["withdraw"],
        "assessment": given["assess"] is not None,
    }
    chosen = [sort for sort, is_chosen in sorts.items() if is_chosen]
    if len(chosen) > 1:
        raise click.UsageError(
            "Give only one of --preliminary, --withdraw and --assess."
        )
    if given["breaks"] and given["assess"] is None:
        raise click.UsageError("--breaks needs --assess N.")
    if given["pdf"] and given["assess"] is not None:
        raise click.UsageError("An assessment sends no report: it has no PDF.")
    if not given["reason"].strip():
        raise click.UsageError("--reason is blank. Write why this is issued.")
    broke, on = given["breaks"], day_so_far(given["on"])
    return Order(
        sort=chosen[0] if chosen else "report",
        on=on,
        by=given["by"],
        reason=" ".join(given["reason"].split()),
        to=tuple(whom for whom in given["to"] if whom.strip()),
        assesses=given["assess"],
        breaks=commit_named(root, broke) if broke else "",
        pdf=given["pdf"],
    )


def commit_named(root: Path, name: str) -> str:
    """Return the full id of a commit."""
    from buildsite.history.run import GitRefused, git

    try:
        found = git(root, "rev-parse", "--verify", f"{name}^{{commit}}", "--")
    except GitRefused:
        raise click.UsageError(f"No commit {name!r} in this clone.") from None
    return found.decode().split()[0]


def verdict_lines(plan: Plan) -> Iterator[str]:
    """Yield the verdicts that rest on what is about to be issued, flips first."""
    found = follows_of_plan(plan)
    if found:
        yield heading(found)
        yield from (f"    {line}" for line in follow_lines(found))


def issue_lines(one: Issue) -> Iterator[str]:
    """Yield what is about to be issued: results, open flags, changes."""
    kinds = {"report": "report", "preliminary": "preliminary report"}
    method = one.outcome.case.method
    yield f"{one.number}: {kinds.get(one.order.sort, one.order.sort)} of {one.order.on}"
    for name, text in reported(one.outcome).items():
        word = result_word(method, name, text.partition(" ")[2])
        yield f"    {word}: {readable_text(text)}"
    for flag in printed_flags(one.outcome.flags):
        state = f"accepted by {flag.accepted_by}" if flag.accepted_by else "open"
        yield f"    {flag.severity}: {flag.flag}, {state}"
    for caution in one.cautions:
        yield f"    warning: {caution}"
    if one.amendment is None:
        return
    earlier = f"r{one.amendment.item.revision}"
    whom = "; ".join(one.amendment.item.issued_to) or "not stated"
    yield f"    {earlier} was sent to: {whom}"
    old = dict(one.amendment.item.results)
    for name, text in reported(one.outcome).items():
        if old.get(name, text) != text:
            word = result_word(method, name, old[name].partition(" ")[2])
            yield f"    {word}: {readable_text(old[name])} in {earlier}"
    for value in one.amendment.values:
        yield f"    changed: {value}"
