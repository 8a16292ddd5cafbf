"""`diff`: differences between two states of a test, or the tests that changed."""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from buildsite.archive.archive import Archive
from buildsite.archive.compared_states import ComparedState, Difference, compare_states
from buildsite.archive.dependents import changed_tests, ids_of_dependents
from buildsite.archive.drift import reported, same_used
from buildsite.archive.follows import follows_of_states
from buildsite.archive.identity import name_of
from buildsite.cli.common import archive_root, root_option, unknown_id
from buildsite.cli.states import States, revision_of
from buildsite.pages.differences_text import data, markdown, text
from buildsite.record.issued import Issued
from buildsite.record.messages import counted
from buildsite.record.unseen import printable

BEFORE = "HEAD"
"""Compared with a test that was never issued."""


@click.command()
@click.argument("tests", nargs=-1, metavar="[TEST]...")
@click.option(
    "--from",
    "old",
    metavar="A",
    help="Revision (r0) or git revision. Default: last issued revision, else HEAD.",
)
@click.option(
    "--to",
    "new",
    metavar="B",
    help="Revision (r1) or git revision. Default: the working tree.",
)
@click.option("--json", "as_json", is_flag=True, help="Same as --format json.")
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "markdown", "json"]),
    default="text",
    show_default=True,
    help="For people, for a pull request, or for programs.",
)
@root_option
def diff(
    tests: tuple[str, ...],
    old: str | None,
    new: str | None,
    style: str,
    root: Path | None,
    *,
    as_json: bool,
) -> None:
    """
    Compare two states of TEST; without TEST, list every test that changed.

    Compares readings, equipment and other inputs, results and flags, and lists the
    tests that use this one. Use it before a commit to see the effect of a correction:
    correct a mold's calibration, and see every result that changes.

    Example: buildsite diff HF-0117
    """
    states = States(archive_root(root))
    found = list(
        named_tests(states, tests, old, new) if tests else moved_tests(states, old, new)
    )
    if as_json or style == "json":
        whole = [data(one) for one in found]
        click.echo(json.dumps(whole, ensure_ascii=False, indent=2, sort_keys=True))
    else:
        write = markdown if style == "markdown" else text
        for line in write(found):
            click.echo(printable(line))
    if not tests:
        click.echo(summary(found), err=True)


def named_tests(
    states: States, tests: Sequence[str], old: str | None, new: str | None
) -> Iterator[Difference]:
    """Yield the differences of the tests named."""
    for test in dict.fromkeys(tests):
        file = file_of(states, test, (old, new))
        issued, _ = states.here.chain(file)
        yield difference_between(states, file, issued, old, new)


def file_of(states: States, test: str, refs: Sequence[str | None]) -> str:
    """Return the file of a test: here, or at one of the states; refuse others."""
    git_refs = [ref for ref in refs if ref is not None and revision_of(ref) is None]
    for ref in (None, *git_refs, BEFORE):
        file = states.archive(ref).find("test", test)
        if file is not None:
            return file
    raise unknown_id("test", test, states.here.ids("test"))


def difference_between(
    states: States,
    file: str,
    issued: Issued | None,
    old: str | None,
    new: str | None,
) -> Difference:
    """Return the difference of two states of one test."""
    test = name_of(file)
    last = issued.last_report if issued is not None else None
    if old is None:
        old = f"r{last.revision}" if last is not None else BEFORE
    sides = [side_of(states, file, issued, ref) for ref in (old, new)]
    followers = followers_of(states, test)
    here = states.here.find("test", test)
    follows = (
        follows_of_states(states.here, here, sides[0], sides[1])
        if followers and here is not None
        else ()
    )
    return compare_states(
        file, sides[0], sides[1], issued=issued, followers=followers, follows=follows
    )


def side_of(
    states: States, file: str, issued: Issued | None, ref: str | None
) -> ComparedState:
    """Return one state of a test; refuse a revision that was never issued."""
    number = revision_of(ref)
    test = name_of(file)
    if number is None:
        return states.state(test, ref)
    if issued is None:
        raise click.UsageError(f"{test} was never issued: it has no r{number}.")
    return states.issued_state(file, issued, number)


def followers_of(states: States, test: str) -> list[str]:
    """Return the tests that use this one, in the working tree."""
    file = states.here.find("test", test)
    return ids_of_dependents(states.here, file) if file is not None else []


def moved_tests(
    states: States, old: str | None, new: str | None
) -> Iterator[Difference]:
    """Yield the differences of every test that changed."""
    for file in sorted(candidates(states, old, new), key=name_of):
        one = difference_between(states, file, states.here.chain(file)[0], old, new)
        if one.moved:
            yield one


def candidates(states: States, old: str | None, new: str | None) -> Iterator[str]:
    """
    Yield the tests that may have changed.

    An issued test is compared with its last report, for the program too may have
    changed it. Of the others, only those with changed files are computed.
    """
    here = states.here
    chains = {file: here.chain(file)[0] for file in here.files("test")}
    issues = {file: one for file, one in chains.items() if one is not None}
    numbers = {n for n in map(revision_of, (old, new)) if n is not None}
    if numbers:
        yield from (f for f, one in issues.items() if numbers <= reports(one))
        return
    now = states.archive(new)
    if old is None:
        yield from (file for file, one in issues.items() if has_drifted(now, one))
    for test in changed_tests(states.archive(old or BEFORE), now):
        file = file_of(states, test, (old, new))
        if old is not None or file not in issues:
            yield file


def reports(issued: Issued) -> set[int]:
    """Return the numbers of the revisions that sent a report."""
    return {item.revision for item in issued.items if item.is_report}


def has_drifted(archive: Archive, issued: Issued) -> bool:
    """Whether a test no longer agrees with its last report."""
    item = issued.last_report
    file = archive.find("test", issued.test)
    made = archive.outcome(file) if file is not None else None
    if item is None or item.kind == "withdrawal":
        return False
    if made is None:
        return True
    return not same_used(made, item) or reported(made) != dict(item.results)


def summary(found: Sequence[Difference]) -> str:
    """Return the number of tests that changed."""
    issued = sum(bool(one.revision) for one in found)
    return f"{counted(len(found), 'test')} changed, {issued} of them issued"
