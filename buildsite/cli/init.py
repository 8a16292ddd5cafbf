"""`init`: a new laboratory's archive, ready for its first test."""

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import click

from buildsite.archive.blanks import slug
from buildsite.cli.common import day_or_today
from buildsite.cli.new_archive import (
    GitSetup,
    refuse_others,
    refuse_to_overwrite,
    write_archive,
)
from buildsite.cli.prompts import AWAY, HELP
from buildsite.history import clone_setup as git
from buildsite.history.clone_setup import ATTRIBUTES
from buildsite.record.letters import ID
from buildsite.record.typed_names import UnknownName, known_name
from buildsite.software import fingerprint, installed_from, lock
from buildsite.standards.tables import designations
from buildsite.starting.archive import (
    ROLES,
    NewLaboratory,
    Person,
    archive_files,
    faults_of,
)

DENSITIES = ("kg/m3", "Mg/m3", "lb/ft3", "lbf/ft3", "kN/m3")
STANDARDS_OWN = "standard"
PINNED = re.compile(r"git\+\S+@[0-9a-f]{40}|https://\S+\.whl(#\S+)?")


@click.command()
@click.argument(
    "folder", metavar="[DIR]", required=False, type=click.Path(path_type=Path)
)
@click.option("--name", help="Name of the laboratory.")
@click.option("--place", help="Town of the laboratory.")
@click.option(
    "--staff",
    metavar="LIST",
    help="CODE ROLE [E-MAIL], separated by commas. Roles: technician (may test), "
    "engineer (test, review, authorize), reviewer, manager (review, authorize).",
)
@click.option(
    "--since", metavar="DATE", help="First day of their authority. Default: 1 January."
)
@click.option("--me", metavar="CODE", help="Your own staff code.")
@click.option("--standards", metavar="LIST", help="Test standards, usual one first.")
@click.option(
    "--report-density",
    type=click.Choice((STANDARDS_OWN, *DENSITIES)),
    help="Unit of reported densities. Default: the standard's own.",
)
@click.option(
    "--seen-by",
    type=click.Choice(("members", "public")),
    help="Who may see issued reports on the web. Default: members.",
)
@click.option(
    "--shards",
    type=click.IntRange(1, 256),
    default=1,
    show_default=True,
    help="Machines that build the public site, each a part of it.",
)
@click.option(
    "--program",
    metavar="URL",
    help="Where pip gets this program, for the workflows: git+URL@COMMIT.",
)
@click.option("--git-name", metavar="NAME", help="Your name, if git doesn't know it.")
@click.option("--git-email", metavar="ADDRESS", help="Your e-mail address, likewise.")
@click.option("--defaults", is_flag=True, help="Ask nothing: accept the suggestions.")
def init(
    folder: Path | None, shards: int, *, defaults: bool, **given: str | None
) -> None:
    """
    Start a new laboratory's archive in DIR.

    Writes the laboratory's record, git settings and a hook, workflows, and a README
    for technicians, in a first commit. Overwrites nothing.

    Example: buildsite init ../our-archive --defaults
    """
    if folder is None:
        raise click.UsageError(WHICH)
    place = Path(os.path.abspath(folder))  # noqa: PTH100 - resolve() follows links
    clone = refuse_others(place)
    tell = option_or_question(given, defaults=defaults)
    chosen = given["git_name"] or given["git_email"]  # before what git knows
    name, email = known = ("", "") if chosen else git.identity(place)
    lab, me = new_laboratory(tell, given, git.branch_of(place) if clone else "main")
    lab = replace(lab, shards=shards)
    label = f"{me}@{slug(lab.name) or 'laboratory'}.invalid".lower()
    guesses = ("", "") if defaults else (me, label)
    if not email:
        name, email = tell("git_name", guesses[0]), tell("git_email", guesses[1])
    files = archive_files(with_email(lab, me, email), ATTRIBUTES)
    faults = faults_of(files)
    if faults:
        raise click.UsageError("\n".join(faults))
    refuse_to_overwrite(place, files)
    who = (name, email)
    write_archive(
        place, files, GitSetup(lab.branch, who, clone=clone, known=all(known))
    )
    click.echo(str(place))
    if not all(who):
        click.echo(NOT_COMMITTED, err=True)
    if not lab.source:
        click.echo(NO_SOURCE, err=True)
    there = "" if place == Path.cwd() else f"Next: cd {folder}, then "
    click.echo(f"{there or 'Next: '}buildsite new project", err=True)


WHICH = (
    "Name a folder. The current one: buildsite init .  A new one: "
    "buildsite init our-archive"
)
NO_SOURCE = (
    "The workflows need program/source.txt, which doesn't yet say where pip gets this "
    "program."
)
NOT_COMMITTED = """\
Nothing is committed yet: git doesn't know who you are. In the new folder:
    git config user.name NAME
    git config user.email ADDRESS
    git add --all
    git commit -m "Begin the archive\""""

PROMPTS: Mapping[str, tuple[str, str]] = {
    "name": ("Name of the laboratory", "Our laboratory"),
    "place": ("Town of the laboratory", "Our town"),
    "staff": (
        f"Staff: CODE ROLE [E-MAIL], separated by commas; roles {', '.join(ROLES)}",
        "T01 technician, E01 engineer",
    ),
    "since": ("First day of their authority, also for tests (YYYY-MM-DD)", ""),
    "me": ("Your own staff code", ""),
    "standards": ("Standards used, the usual one first", "AASHTO T 99, AASHTO T 180"),
    "report_density": ("Unit of reported densities", STANDARDS_OWN),
    "seen_by": ("Who may see issued reports on the web", "members"),
    "program": (
        "Where the workflows of the web site get this program: git+URL@COMMIT, from "
        "its supplier (Enter: later)",
        "",
    ),
    "git_name": ("Your name, recorded with each change you make", ""),
    "git_email": ("Your e-mail address (Enter: a label instead)", ""),
}
"""Each question, and the answer of Enter."""

CHOICES: Mapping[str, tuple[str, ...]] = {
    "report_density": (STANDARDS_OWN, *DENSITIES),
    "seen_by": ("members", "public"),
}


ENTER = "Enter: accept the value in [ ]"


def option_or_question(
    given: Mapping[str, str | None], *, defaults: bool
) -> Callable[..., str]:
    """Return a function that takes an option, else its default, else asks."""

    def tell(name: str, guess: str = "", read: Callable[[str], object] = str) -> str:
        words, usual = PROMPTS[name]
        usual = guess or usual
        option = given.get(name)
        if option is not None or defaults:
            return usual if option is None else option
        while True:
            answer = str(ask(name, words, usual))
            if answer.strip() == HELP:
                click.echo(f"  {ENTER}\n  {AWAY}", err=True)
                continue
            try:
                read(answer)
            except click.UsageError as fault:
                click.echo(f"  ! {fault.message}", err=True)
            else:
                return answer

    return tell


def ask(name: str, words: str, usual: str) -> object:
    """Ask a question once."""
    return click.prompt(
        words,
        default=usual,
        show_default=bool(usual),
        type=click.Choice(CHOICES[name]) if name in CHOICES else None,
        err=True,
    )


def new_laboratory(
    tell: Callable[..., str], given: Mapping[str, str | None], branch: str
) -> tuple[NewLaboratory, str]:
    """Return the new laboratory from options and answers, and your own code."""
    name, place = tell("name"), tell("place")
    staff = staff_of(tell("staff", read=staff_of))
    new_year = day_or_today(None).replace(month=1, day=1).isoformat()
    since = tell("since", new_year, day_or_today)
    since = day_or_today(since).isoformat()
    heads = [one.code for one in staff if "authorize" in ROLES[one.role]]

    def of_staff(code: str) -> str:
        codes = [one.code for one in staff]
        if code not in codes:
            raise click.UsageError(
                f"--me {code!r} is not a staff code: {', '.join(codes)}."
            )
        return code

    me = of_staff(tell("me", (heads or [one.code for one in staff])[0], of_staff))
    standards = known_standards(tell("standards", read=known_standards))
    density, seen_by = tell("report_density"), tell("seen_by")
    source = pinned_source(tell("program", installed_from(), pinned_source))
    lab = NewLaboratory(
        name=name,
        place=place,
        since=since,
        staff=staff,
        standards=standards,
        density="" if density == STANDARDS_OWN else density,
        public=seen_by == "public",
        branch=branch,
        source=source,
        lock=lock().read_bytes(),
        fingerprint=fingerprint(),
    )
    return lab, me


def split_list(text: str) -> list[str]:
    """
    Split a list at its commas.

    >>> split_list("T01 technician, E01 engineer")
    ['T01 technician', 'E01 engineer']
    """
    return [part.strip() for part in text.split(",") if part.strip()]


def pinned_source(source: str) -> str:
    """Return an address that always gives the same program, or a blank."""
    if source and not PINNED.fullmatch(source):
        raise click.UsageError(
            f"--program {source!r}: write git+URL@ and the 40 digits of a commit, or "
            "the https address of a wheel, so that everyone gets the same program."
        )
    return source


def staff_of(text: str) -> tuple[Person, ...]:
    """Return the staff, at least one person."""
    found = tuple(map(staff_member, split_list(text)))
    if not found:
        raise click.UsageError(
            "--staff: nobody is named. Write, for example, T01 technician."
        )
    return found


def known_standards(text: str) -> tuple[str, ...]:
    """Return the designations of standards."""
    return tuple(map(known_standard, split_list(text)))


def staff_member(text: str) -> Person:
    """Return one of the staff: code, role, address."""
    words = text.split()
    known = 2 <= len(words) <= 3 and words[1] in ROLES and ID.fullmatch(words[0])
    if not known or (len(words) == 3 and "@" not in words[2]):
        raise click.UsageError(
            f"--staff {text!r}: write a code, one of {', '.join(ROLES)}, and, if you "
            "like, an e-mail address, such as E01 engineer e01@lab.example."
        )
    return Person(*words)


def known_standard(text: str) -> str:
    """Return the designation of a standard."""
    try:
        return known_name(text, designations())
    except UnknownName:
        there = ", ".join(designations())
        raise click.UsageError(
            f"--standards {text!r} is not a known standard: {there}."
        ) from None


def with_email(lab: NewLaboratory, me: str, email: str) -> NewLaboratory:
    """Add git's address to one's own entry in the staff, unless it is another's."""
    if email.casefold() in (one.email.casefold() for one in lab.staff):
        return lab
    staff = tuple(
        replace(one, email=one.email or email) if one.code == me else one
        for one in lab.staff
    )
    return replace(lab, staff=staff)
