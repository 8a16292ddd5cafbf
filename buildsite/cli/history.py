"""`history`: the edits that changed a test's inputs or results, and its revisions."""

import json
from pathlib import Path

import click

from buildsite.archive.identity import group_of, name_of
from buildsite.archive.record_history import timeline
from buildsite.archive.signatures import branch_of, with_signatures
from buildsite.archive.states import archive_at
from buildsite.cli.common import archive_root, root_option
from buildsite.cli.diff import file_of
from buildsite.cli.states import States
from buildsite.history.walk import History
from buildsite.pages.history_text import data, text
from buildsite.record.unseen import printable


@click.command()
@click.argument("test")
@click.option(
    "--all", "everything", is_flag=True, help="Include edits that changed nothing."
)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@root_option
def history(test: str, root: Path | None, *, everything: bool, as_json: bool) -> None:
    """
    Show every edit that changed the results or inputs of TEST, and its revisions.

    Covers the record itself, its mold's calibration, its sample, its project and the
    laboratory's record: newest first, each edit with who, why, what changed, and the
    effect on the results.

    Example: buildsite history HF-0117
    """
    states = States(archive_root(root))
    past = states.past
    file = former_file(past, test) or file_of(states, test, ())
    found = timeline(past, file, lambda commit, paths: archive_at(past, commit, paths))
    found = with_signatures(states.root, found, branch_of(states.here))
    issued, _ = states.here.chain(file)
    items = issued.items if issued is not None else ()
    made = states.here.outcome(file) if file in states.here.names else None
    method = made.case.method if made is not None else None
    if as_json:
        whole = data(found, items, method, everything=everything)
        click.echo(json.dumps(whole, ensure_ascii=False, indent=2, sort_keys=True))
        return
    for line in text(found, items, method, everything=everything):
        click.echo(printable(line))


def former_file(past: History, test: str) -> str:
    """Return the file of a deleted test; empty if it exists, or never did."""
    if not past.commits:
        return ""
    last = past.commits[0].id
    paths = [
        path
        for path in past.paths
        if path.endswith(".yaml") and (group_of(path), name_of(path)) == ("test", test)
    ]
    if any(past.blob(last, path) for path in paths):
        return ""
    return paths[-1] if paths else ""
