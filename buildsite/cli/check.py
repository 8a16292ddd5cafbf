"""`check`: every fault and flag, for people, scripts and pull requests."""

import json
from collections.abc import Sequence
from pathlib import Path

import click

from buildsite.cli.common import archive_root, counted, record_names, root_option
from buildsite.exports.result_json import flag_json
from buildsite.files import list_archive
from buildsite.pages.archive import Archive, flags_across, survey
from buildsite.pages.moved import counts
from buildsite.record.flags import Flag, Severity
from buildsite.software import fingerprint


@click.command()
@click.argument("paths", nargs=-1, type=click.Path(exists=True, path_type=Path))
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "json", "github"]),
    default="text",
    show_default=True,
    help="How flags are written: for people, for programs, for a pull request.",
)
@click.option("--strict", is_flag=True, help="Exit 1 on open warnings too.")
@root_option
def check(
    paths: tuple[Path, ...], style: str, root: Path | None, *, strict: bool
) -> None:
    """
    Report faults and flags of PATHS, or of every record.

    With PATHS, what only shows when records are compared is left out: a mold that
    weighs otherwise than last time, readings that stand in two tests.

    Example: buildsite check records/heron-flats
    """
    root = archive_root(root or (folder_of(paths[0]) if paths else None))
    listing = list_archive(root)
    archive = Archive(
        listing.names,
        listing.read,
        issued=listing.issued,
        kept=listing.kept,
        program=fingerprint,
    )
    files = record_names(root, listing.names, paths) if paths else listing.names
    found = [*listing.flags, *archive.strays()] if not paths else []
    if not paths:
        found += unsigned(root, archive)
        traces = survey(archive, archive.files("test"))
        archive.across_flags = flags_across(archive, traces)
    for file in files:
        found += archive.flags(file)
    found.sort(key=lambda flag: flag.order)
    say(found, style)
    errors = counted(archive, files, found)
    open_warnings = strict and any(
        flag.severity is Severity.WARNING and not flag.accepted_by and counts(flag)
        for flag in found
    )
    click.echo(summary(len(files), found), err=True)
    raise SystemExit(1 if errors or open_warnings else 0)


def unsigned(root: Path, archive: Archive) -> list[Flag]:
    """Flag edits that are not signed, where the laboratory demands or has keys."""
    file = archive.find("laboratory", "lab")
    lab = archive.entry(file).record if file else None
    if lab is None:
        return []
    procedures = lab.procedures
    if not procedures.signed_edits and not any(who.keys for who in lab.staff.values()):
        return []
    # Git's past is read only where somebody signs: most checks start without it.
    from buildsite.history import read_history
    from buildsite.signed import edits_not_signed

    return edits_not_signed(root, read_history(root), procedures.published_branch)


def folder_of(path: Path) -> Path:
    """Where to look for the archive of a path: the folder itself, or a file's."""
    place = path.resolve()
    return place if place.is_dir() else place.parent


def say(found: Sequence[Flag], style: str) -> None:
    """Write the flags to standard output."""
    if style == "json":
        flags = [flag_json(flag) for flag in found]
        click.echo(json.dumps(flags, ensure_ascii=False, indent=2, sort_keys=True))
    for flag in found:
        if style == "text":
            click.echo(str(flag))
        elif style == "github":
            click.echo(annotation(flag))


def annotation(flag: Flag) -> str:
    """Write a flag so that a pull request shows it beside its line."""
    level = {"error": "error", "warning": "warning", "note": "notice"}[flag.severity]
    place = f"file={escaped(flag.file, ',:')},line={flag.line},col={flag.column}"
    return f"::{level} {place},title={flag.flag}::{escaped(flag.message)}"


def escaped(text: str, more: str = "") -> str:
    """Escape what would end an annotation early."""
    for character in "%\r\n" + more:
        text = text.replace(character, f"%{ord(character):02X}")
    return text


def summary(files: int, found: Sequence[Flag]) -> str:
    """Count in one line."""
    parts = []
    for severity in Severity:
        number = sum(flag.severity is severity for flag in found)
        parts.append(f"{number} {severity}{'' if number == 1 else 's'}")
    accepted = sum(bool(flag.accepted_by) for flag in found)
    tail = f" ({accepted} accepted)" if accepted else ""
    return f"{files} record{'' if files == 1 else 's'}: {', '.join(parts)}{tail}"
