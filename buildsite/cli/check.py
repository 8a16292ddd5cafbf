"""`check`: the flags of records, for people, scripts and pull requests."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildsite.archive.archive import Archive
from buildsite.archive.drift import sets_exit_status
from buildsite.cache.verdicts import Packed, Watch, asked_of, unpacked
from buildsite.cli.common import (
    archive_root,
    day_or_today,
    record_names,
    root_option,
    with_errors,
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
    told, missed = Told(archive, files, style), ""
    with shown(verbose=verbose) as progress:
        if paths:
            progress.stage("checking records", len(files))
            found: list[Flag] = []
            for file in files:
                found += archive.flags(file)
                progress.done()
            told.take(sorted(found, key=lambda flag: flag.order))
        else:
            from buildsite.cli.check_all import Check  # late: most checks are of a file

            others = [*listing.flags, *archive.strays()]
            progress.stage("reading the history")
            others += unsigned(root, archive)
            past, missed = past_judged(root, archive)
            for some in Check(archive, past, progress, others).run(files):
                told.take(some)
    if due is not None:
        told.take(falling_due(archive, files, day_or_today(day), due))
    elif day is not None:
        raise click.UsageError("--on needs --due: give both.")
    wrong = told.errors or (strict and told.open_warnings)
    out, err, status = told.end(), f"{told.summary}\n", 1 if wrong else 0
    if not missed and not watch.keep(out, err, status):
        raise EnvironmentFault(
            "A verdict kept by an earlier check differs when it is made again, though "
            "nothing that it saw has changed.",
            "All that was kept is deleted now: run this again. It is a fault of this "
            "program; please report it.",
        )
    click.echo(f"{missed}\n" if missed else "", nl=False, err=True)
    for piece in unpacked(out):
        click.echo(piece, nl=False)
    click.echo(err, nl=False, err=True)
    raise SystemExit(status)


class Told:
    """What a check tells, taken file by file: lines, packed, and how many flags."""

    def __init__(self, archive: Archive, files: Sequence[str], style: str) -> None:
        self._archive = archive
        self._files = frozenset(files)
        self._style = style
        self._lines = Packed()
        self._json: list[Flag] = []
        self._many = dict.fromkeys(Severity, 0)
        self._accepted = 0
        self.errors: set[str] = set()
        self.open_warnings = False

    def take(self, flags: Sequence[Flag]) -> None:
        """Take some flags more, in order."""
        for flag in flags:
            self._many[flag.severity] += 1
            self._accepted += bool(flag.accepted_by)
            self.open_warnings |= (
                flag.severity is Severity.WARNING
                and not flag.accepted_by
                and sets_exit_status(flag)
            )
        self.errors |= with_errors(self._archive, self._files, flags)
        if self._style == "json":
            self._json += flags
        for line in lines(flags, self._style):
            self._lines.add(f"{line}\n")

    def end(self) -> bytes:
        """Return all lines, packed."""
        if self._style == "json":
            found = [flag_json(flag) for flag in self._json]
            text = json.dumps(found, ensure_ascii=False, indent=2, sort_keys=True)
            self._lines.add(f"{text}\n")
        return self._lines.end()

    @property
    def summary(self) -> str:
        """The number of records and of their flags."""
        parts = [f"{n} {one}{'' if n == 1 else 's'}" for one, n in self._many.items()]
        tail = f" ({self._accepted} accepted)" if self._accepted else ""
        files = len(self._files)
        return f"{files} record{'' if files == 1 else 's'}: {', '.join(parts)}{tail}"


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


def past_judged(
    root: Path, archive: Archive
) -> tuple["tuple[History, Mapping[str, list[int]]] | None", str]:
    """
    Return the history, and what touched each path, if a test states who judged it.

    None, if the history is not here: then why not.
    """
    from buildsite.archive.entry_checks import says_who_judged

    for test in archive.files("test"):
        judged = says_who_judged(archive.entry(test).source.tree)
        archive.forget(test)
        if judged:
            break
    else:
        return None, ""
    from buildsite.history.run import checkout
    from buildsite.history.walk import read_history
    from buildsite.record.commits import places_touching

    if checkout(root).commit is None:
        return None, ""
    try:
        past = read_history(root)
    except EnvironmentFault as fault:
        why = f"Edits after a review or an entry check were not checked. {fault}"
        return None, why
    return (past, places_touching(past)), ""


def folder_of(path: Path) -> Path:
    """Return the folder in which to look for the archive of a path."""
    place = path.resolve()
    return place if place.is_dir() else place.parent


def lines(found: Sequence[Flag], style: str) -> Iterator[str]:
    """Yield the flags, as they are printed."""
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
