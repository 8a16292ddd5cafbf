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
    day_or_today,
    root_option,
    test_ids,
)
from buildsite.errors import FAULTY
from buildsite.issuing.keep import keep
from buildsite.issuing.plan import Issue
from buildsite.issuing.planning import plan_issue
from buildsite.issuing.refused import Refused
from buildsite.kinds.reporting import readable_text


@click.command()
@click.argument("tests", nargs=-1, required=True, metavar="TEST...")
@click.option(
    "--authorized-by", "by", required=True, metavar="CODE", help="Who authorizes it."
)
@click.option(
    "--reason", required=True, help="Why it is issued; an amendment prints it."
)
@click.option(
    "--to", multiple=True, metavar="WHOM", help="Who receives it; may be repeated."
)
@click.option(
    "--on", "on", metavar="DATE", help="Day of issue, YYYY-MM-DD. Default: today."
)
@click.option("--preliminary", is_flag=True, help="Issue before review or completion.")
@click.option("--withdraw", is_flag=True, help="Withdraw what was issued.")
@click.option(
    "--assess", type=int, metavar="N", help="Record that revision N stands as it is."
)
@click.option(
    "--breaks", metavar="COMMIT", help="With --assess: the commit that broke the chain."
)
@click.option("--no-commit", is_flag=True, help="Write the files and commit nothing.")
@root_option
def issue(
    tests: tuple[str, ...],
    root: Path | None,
    *,
    no_commit: bool,
    **asked: Any,
) -> None:
    """
    Issue TEST: append a revision, keep its report and its result, in one commit.

    Says first what is issued, and asks when a person sits at the terminal. Several
    tests are issued together, in the order in which they rest on each other.

    Example: buildsite issue HF-0109 --authorized-by E02 --reason "first issue"
    """
    folder = archive_root(root)
    order = order_of(folder, asked)
    ids = test_ids(folder, tests)
    try:
        plan = plan_issue(folder, ids, order)
        for one in plan.issues:
            click.echo("\n".join(issue_lines(one)), err=True)
        if at_terminal():
            click.confirm("Issue this?", abort=True, err=True)
        keep(plan, committing=not no_commit)
    except Refused as refused:
        click.echo("\n".join(refused.reasons), err=True)
        click.echo("Nothing was issued.", err=True)
        raise SystemExit(FAULTY) from None
    for one in plan.issues:
        click.echo(one.number)


def order_of(root: Path, asked: Mapping[str, Any]) -> Order:
    """
    Turn the options into one order.

    Raises
    ------
    click.UsageError
        If they don't go together.
    """
    sorts: dict[Sort, bool] = {
        "preliminary": asked["preliminary"],
        "withdrawal": asked["withdraw"],
        "assessment": asked["assess"] is not None,
    }
    chosen = [sort for sort, is_asked in sorts.items() if is_asked]
    if len(chosen) > 1:
        raise click.UsageError("Take one of --preliminary, --withdraw and --assess.")
    if asked["breaks"] and asked["assess"] is None:
        raise click.UsageError("--breaks goes with --assess N.")
    if not asked["reason"].strip():
        raise click.UsageError("--reason says nothing. Write why this is issued.")
    broke, on = asked["breaks"], day_or_today(asked["on"])
    if on > day_or_today(None):
        raise click.UsageError(f"--on {on} has not come yet: write a day up to today.")
    return Order(
        sort=chosen[0] if chosen else "report",
        on=on,
        by=asked["by"],
        reason=" ".join(asked["reason"].split()),
        to=tuple(whom for whom in asked["to"] if whom.strip()),
        assesses=asked["assess"],
        breaks=commit_named(root, broke) if broke else "",
    )


def commit_named(root: Path, name: str) -> str:
    """Return the whole id of a commit."""
    from buildsite.history.run import GitRefused, git

    try:
        found = git(root, "rev-parse", "--verify", f"{name}^{{commit}}", "--")
    except GitRefused:
        raise click.UsageError(f"Git knows no commit {name!r}.") from None
    return found.decode().split()[0]


def issue_lines(one: Issue) -> Iterator[str]:
    """Say what is about to be issued: results, open flags, what changed."""
    kinds = {"report": "report", "preliminary": "preliminary report"}
    yield f"{one.number}: {kinds.get(one.order.sort, one.order.sort)} of {one.order.on}"
    for name, text in reported(one.outcome).items():
        yield f"    {name.replace('_', ' ')}: {readable_text(text)}"
    for flag in printed_flags(one.outcome.flags):
        state = f"accepted by {flag.accepted_by}" if flag.accepted_by else "open"
        yield f"    {flag.severity}: {flag.flag}, {state}"
    for caution in one.cautions:
        yield f"    warning: {caution}"
    if one.amendment is None:
        return
    earlier = f"r{one.amendment.item.revision}"
    whom = "; ".join(one.amendment.item.issued_to) or "nobody named"
    yield f"    {earlier} was sent to: {whom}"
    old = dict(one.amendment.item.results)
    for name, text in reported(one.outcome).items():
        if old.get(name, text) != text:
            was = readable_text(old[name])
            yield f"    {name.replace('_', ' ')}: {was} in {earlier}"
    for told in one.amendment.values:
        yield f"    changed: {told}"
