"""`check`: the flags of records, for people, scripts and pull requests."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildsite.archive.across import compare_tests, traces_of
from buildsite.archive.archive import Archive
from buildsite.archive.drift import sets_exit_status
from buildsite.cache.verdicts import Watch, asked_of
from buildsite.cli.common import (
    archive_root,
    count_errors,
    day_or_today,
    record_names,
    root_option,
)
from buildsite.cli.progress import shown, verbose_option
from buildsite.errors import EnvironmentFault
from buildsite.exports.result_json import flag_json
from buildsite.files import list_archive
from buildsite.record.flags import Flag, Severity
from buildsite.software import fingerprint

if TYPE_CHECKING:
    from buildsite.history.walk import History


@click.command()
@click.argument("paths", nargs=-1, type=click.Path(exists=True, path_type=Path))
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "json", "github"]),
    default="text",
    show_default=True,
    help="For people, for programs, or for a pull request.",
)
@click.option("--strict", is_flag=True, help="Exit 1 on open warnings too.")
@click.option(
    "--due",
    metavar="SPAN",
    help="Also list equipment due within a span, such as 30d, 6w or 3m.",
)
@click.option("--on", "day", metavar="DATE", help="First day of SPAN. Default: today.")
@click.option(
    "--no-cache", is_flag=True, help="Check all anew, whatever an earlier check kept."
)
@verbose_option
@root_option
def check(
    paths: tuple[Path, ...],
    style: str,
    root: Path | None,
    due: str | None,
    day: str | None,
    *,
    strict: bool,
    no_cache: bool,
    verbose: bool,
) -> None:
    """
    List the flags of PATHS, or of every record.

    With PATHS, checks across records are skipped: a mold whose mass changed since its
    last use, readings repeated in two tests, which tests used a piece of equipment
    found out of tolerance, edits after a review.

    Example: buildsite check records/heron-flats
    """
    keeps = root is None and due is None and not no_cache and not verbose
    root = archive_root(root or (folder_of(paths[0]) if paths else None))
    asked = asked_of([str(path) for path in paths], style, strict=strict)
    watch = Watch(str(root) if keeps else "", asked, history=not paths)
    listing = list_archive(root)
    archive = Archive(
        listing.names,
        watch.reading(listing.read),
        issued=listing.issued,
        kept=listing.kept,
        program=fingerprint,
    )
    files = record_names(root, listing.names, paths) if paths else listing.names
    found = [*listing.flags, *archive.strays()] if not paths else []
    missed = ""
    with shown(verbose=verbose) as progress:
        if not paths:
            progress.stage("reading the history")
            found += unsigned(root, archive)
            more, missed = flags_by_history(root, archive)
            progress.stage("comparing tests")
            compare_tests(archive, traces_of(archive, archive.files("test")), more=more)
        progress.stage("checking records", len(files))
        for file in files:
            found += archive.flags(file)
            progress.done()
    found.sort(key=lambda flag: flag.order)
    if due is not None:
        found += falling_due(archive, files, day_or_today(day), due)
    elif day is not None:
        raise click.UsageError("--on needs --due: give both.")
    errors = count_errors(archive, files, found)
    open_warnings = strict and any(
        flag.severity is Severity.WARNING
        and not flag.accepted_by
        and sets_exit_status(flag)
        for flag in found
    )
    told = (
        "".join(f"{line}\n" for line in lines(found, style)),
        f"{summary(len(files), found)}\n",
        1 if errors or open_warnings else 0,
    )
    if not missed and not watch.keep(told):
        raise EnvironmentFault(
            "A verdict kept by an earlier check differs when it is made again, though "
            "nothing that it saw has changed.",
            "All that was kept is deleted now: run this again. It is a fault of this "
            "program; please report it.",
        )
    out, err, status = told
    click.echo(f"{missed}\n" if missed else "", nl=False, err=True)
    click.echo(out, nl=False)
    click.echo(err, nl=False, err=True)
    raise SystemExit(status)


SPAN = re.compile(r"([0-9]{1,4})([dwm])")


def falling_due(
    archive: Archive, files: Sequence[str], on: date, span: str
) -> list[Flag]:
    """Return flags of the equipment among some files that is due within a span."""
    from buildsite.archive.due_dates import due_flags
    from buildsite.kinds.equipment.due import months_later

    found = SPAN.fullmatch(span)
    if found is None:
        raise click.UsageError(
            f"{span!r} is not a span. Write days, weeks or months: 30d, 6w, 3m."
        )
    many, unit = int(found.group(1)), found.group(2)
    if unit == "m":
        until = months_later(on, many)
    else:
        days = many * (7 if unit == "w" else 1)
        until = on + min(timedelta(days=days), date.max - on)
    return [flag for flag in due_flags(archive, on, until) if flag.file in set(files)]


def unsigned(root: Path, archive: Archive) -> list[Flag]:
    """Return flags of unsigned edits, if the laboratory requires or lists keys."""
    lab = archive.laboratory
    if lab is None:
        return []
    procedures = lab.procedures
    if not procedures.signed_edits and not any(who.keys for who in lab.staff.values()):
        return []
    # The history is read only if somebody signs: most checks start without it.
    from buildsite.archive.signatures import edits_not_signed
    from buildsite.history.walk import read_history

    return edits_not_signed(root, read_history(root), procedures.published_branch)


def flags_by_history(
    root: Path, archive: Archive
) -> tuple[dict[str, tuple[Flag, ...]], str]:
    """
    Return flags of tests edited after a review or entry check.

    None, if the history is not here: then why not.
    """
    from buildsite.archive.entry_checks import flags_of_history, says_who_judged

    tests = archive.files("test")
    if not any(says_who_judged(archive.entry(test).source.tree) for test in tests):
        return {}, ""
    from buildsite.history.run import checkout
    from buildsite.history.walk import read_history
    from buildsite.record.commits import places_touching

    if checkout(root).commit is None:
        return {}, ""
    try:
        past = read_history(root)
    except EnvironmentFault as fault:
        why = f"Edits after a review or an entry check were not checked. {fault}"
        return {}, why
    touching, found = places_touching(past), dict[str, tuple[Flag, ...]]()
    for first in range(0, len(tests), AT_ONCE):
        some = tests[first : first + AT_ONCE]
        past.blobs.load(filter(None, blobs_of_past(past, some, touching)))
        found |= flags_of_history(archive, some, past, touching)
    return found, ""


AT_ONCE = 100
"""Tests whose past is read from git at once."""


def blobs_of_past(
    past: "History", tests: Sequence[str], touching: Mapping[str, Sequence[int]]
) -> Iterator[str]:
    """Yield the name of the blob of some tests at each commit that touched them."""
    for test in tests:
        for place in touching.get(test, ()):
            yield past.blob(past.commits[place].id, test)


def folder_of(path: Path) -> Path:
    """Return the folder in which to look for the archive of a path."""
    place = path.resolve()
    return place if place.is_dir() else place.parent


def lines(found: Sequence[Flag], style: str) -> Iterator[str]:
    """Yield the flags, as they are printed."""
    if style == "json":
        flags = [flag_json(flag) for flag in found]
        yield json.dumps(flags, ensure_ascii=False, indent=2, sort_keys=True)
    for flag in found:
        if style == "text":
            yield str(flag)
        elif style == "github":
            yield annotation(flag)


def annotation(flag: Flag) -> str:
    """Return a flag as an annotation, shown beside its line in a pull request."""
    level = {"error": "error", "warning": "warning", "note": "notice"}[flag.severity]
    place = f"file={escaped(flag.file, ',:')},line={flag.line},col={flag.column}"
    return f"::{level} {place},title={flag.flag}::{escaped(flag.message)}"


def escaped(text: str, more: str = "") -> str:
    """Escape the characters that would end an annotation."""
    for character in "%\r\n" + more:
        text = text.replace(character, f"%{ord(character):02X}")
    return text


def summary(files: int, found: Sequence[Flag]) -> str:
    """Return the number of records and of their flags."""
    parts = []
    for severity in Severity:
        number = sum(flag.severity is severity for flag in found)
        parts.append(f"{number} {severity}{'' if number == 1 else 's'}")
    accepted = sum(bool(flag.accepted_by) for flag in found)
    tail = f" ({accepted} accepted)" if accepted else ""
    return f"{files} record{'' if files == 1 else 's'}: {', '.join(parts)}{tail}"
