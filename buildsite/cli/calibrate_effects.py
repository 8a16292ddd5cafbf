"""What follows from a calibration: the tests that move, amended one by one."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

import click

from buildsite.archive.calibration_effects import Affected, in_order, next_steps
from buildsite.pages.differences_text import result_row
from buildsite.pages.terminal import align_columns
from buildsite.record.messages import counted


def why_amended(id: str, on: date) -> str:
    """Return the reason that is proposed for an amended report."""
    return f"calibration of {id} on {on}"


def effect_lines(
    id: str, on: date, found: Sequence[Affected], *, warned: bool
) -> Iterator[str]:
    """
    Return which tests move and which are to be assessed, with the next steps.

    `warned`: a warning before it asks for an assessment.
    """
    moving = [one for one in found if one.moves]
    if not found:
        yield (
            "No test moves, and no test on file used it in that time."
            if warned
            else "No test moves, and none is to be assessed."
        )
        return
    issued = sum(bool(one.issued) for one in moving)
    changed = sum(bool(one.results) for one in moving)
    yield (
        f"{counted(len(moving), 'test')} would move: {changed} with another reported "
        f"result, {issued} issued."
        if moving
        else "No test would move."
    )
    for one in in_order(moving):
        yield f"  {one.test} ({one.standing}): {one.verdict}"
        rows = [result_row(result, one.method) for result in one.results]
        yield from (f"      {line}" for line in align_columns(rows, [False] * 4))
    if moving:
        yield "Next steps, one test at a time:"
    for one in in_order(moving):
        for step in next_steps(one, why_amended(id, on)):
            yield f"  {step}"
    for use in sorted({use for one in found for use in one.relied}):
        tests = ", ".join(one.test for one in in_order(found) if use in one.relied)
        day, again = use
        command = f"buildsite calibrate {id}{again}"
        yield f"Used it while it was wrong, found on {day}; assess each: {tests}"
        yield "  buildsite show TEST, for each; when all are assessed:"
        yield f"  {command} --judged {day} --by CODE --reason TEXT"


STEPS = ("show", "review", "issue", "next", "quit")
"""What can be done with a test; the first letter is enough."""


def go_through(root: Path, id: str, on: date, found: Sequence[Affected]) -> None:
    """Offer to show, review and amend the tests one by one."""
    tests = [one for one in in_order(found) if one.status != "in-progress"]
    if not tests or not click.confirm("Go through them now?", True, err=True):
        return
    for one in tests:
        click.echo(f"{one.test} ({one.standing}): {one.verdict}", err=True)
        while (step := ask_step(one.test)) in ("show", "review", "issue"):
            do_step(root, one, step, why_amended(id, on))
        if step == "quit":
            return


def ask_step(test: str) -> str:
    """Ask what to do with a test; the end of the input is to quit."""
    words = f"{test}: {', '.join(STEPS)}"
    while True:
        try:
            answer = str(click.prompt(words, "next", err=True)).strip().lower()
        except click.Abort:
            return "quit"
        for step in STEPS:
            if step.startswith(answer):
                return step


def do_step(root: Path, one: Affected, step: str, why: str) -> None:
    """Do one step with one test; a refusal says why, and leaves the test as it is."""
    from buildsite.cli.diff import diff
    from buildsite.cli.issue import issue
    from buildsite.cli.review import review
    from buildsite.cli.show import show

    place = ["--root", str(root)]
    if step == "show":
        words, command = [one.test, *place], diff if one.issued else show
    elif step == "review":
        by = str(click.prompt("Reviewed by, staff code", err=True))
        words, command = [one.test, "--by", by, *place], review
    else:
        by = str(click.prompt("Authorized by, staff code", err=True))
        reason = str(click.prompt("Reason of the issue", why, err=True))
        words = [one.test, "--authorized-by", by, "--reason", reason, *place]
        command = issue
    try:
        command.main(words, prog_name=command.name, standalone_mode=False)
    except SystemExit:  # the command has said why
        return
    except (click.Abort, click.UsageError) as fault:
        click.echo(str(fault) or "Stopped.", err=True)
