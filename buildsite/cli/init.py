"""`init`: a new laboratory's archive, ready for its first test."""

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import click

from buildsite.cli.begun import Told, put, refuse_others, refuse_to_overwrite
from buildsite.cli.common import day_or_today
from buildsite.history import begin as git
from buildsite.history.drivers import ATTRIBUTES
from buildsite.record.ids import ID
from buildsite.software import installed_from, lock
from buildsite.standards.tables import designations, nearest, standard
from buildsite.starting.archive import MAY, Beginning, Person, archive_files, faults_of

DENSITIES = ("kg/m3", "Mg/m3", "lb/ft3", "lbf/ft3", "kN/m3")
STANDARDS_OWN = "standard"
PINNED = re.compile(r"git\+\S+@[0-9a-f]{40}|https://\S+\.whl(#\S+)?")


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--name", help="Name of the laboratory.")
@click.option("--place", help="Town where it stands.")
@click.option(
    "--staff",
    metavar="LIST",
    help="CODE ROLE [E-MAIL], between commas. Roles: technician (may test), engineer "
    "(test, review, authorize), reviewer, manager (review, authorize).",
)
@click.option("--since", metavar="DATE", help="Since when they may. Default: today.")
@click.option("--me", metavar="CODE", help="Your own code: commits are known by it.")
@click.option("--standards", metavar="LIST", help="Tested by, the usual one first.")
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
    "--program",
    metavar="URL",
    help="Where pip gets this program, for the workflows: git+URL@COMMIT.",
)
@click.option("--git-name", metavar="NAME", help="For git, if it does not know you.")
@click.option("--git-email", metavar="ADDRESS", help="The same: your e-mail address.")
@click.option("--defaults", is_flag=True, help="Ask nothing: take what is offered.")
def init(folder: Path, *, defaults: bool, **given: str | None) -> None:
    """
    Begin a new laboratory's archive in DIR.

    Writes the laboratory's record, settings and hook of git, workflows, and a README
    for technicians, in a first commit. Nothing that stands there is overwritten.

    Example: buildsite init ../our-archive --defaults
    """
    place = Path(os.path.abspath(folder))  # noqa: PTH100 - resolve() follows links
    clone = refuse_others(place)
    tell = asker(given, defaults=defaults)
    name, email = git.identity(place)
    if given["git_name"] or given["git_email"]:
        name, email = "", ""  # said on purpose: here it holds, whoever git knows
    told, me = beginning(tell, given, git.branch_of(place) if clone else "main")
    who = (name, email) if email else (tell("git_name"), tell("git_email"))
    files = archive_files(with_email(told, me, who[1]), ATTRIBUTES)
    faults = faults_of(files)
    if faults:
        raise click.UsageError("\n".join(faults))
    refuse_to_overwrite(place, files)
    put(place, files, Told(told.branch, who, clone=clone, known=bool(email)))
    click.echo(str(place))
    if not all(who):
        click.echo(NOT_COMMITTED, err=True)
    if not told.source:
        click.echo(
            "The workflows wait for program/source.txt: it does not yet say where pip "
            "gets this program.",
            err=True,
        )
    click.echo(f"Go there (cd {folder}), then: buildsite new project", err=True)


NOT_COMMITTED = """\
Nothing is committed yet, for git does not know who you are. In the new folder:
    git config user.name NAME
    git config user.email ADDRESS
    git add --all
    git commit -m "Begin the archive\""""

PROMPTS: Mapping[str, tuple[str, str]] = {
    "name": ("Name of the laboratory", "Our laboratory"),
    "place": ("Town where it stands", "Our town"),
    "staff": (
        "Staff: CODE ROLE [E-MAIL], between commas",
        "T01 technician, E01 engineer",
    ),
    "me": ("Your own code", ""),
    "standards": ("Standards used, the usual one first", "AASHTO T 99, AASHTO T 180"),
    "report_density": ("Unit of reported densities", STANDARDS_OWN),
    "seen_by": ("Who may see issued reports on the web", "members"),
    "program": ("Where pip gets this program (git+URL@COMMIT; Enter: later)", ""),
    "git_name": ("Your name, for git", ""),
    "git_email": ("Your e-mail address, for git", ""),
}
"""Each question, and what Enter answers."""

CHOICES: Mapping[str, tuple[str, ...]] = {
    "report_density": (STANDARDS_OWN, *DENSITIES),
    "seen_by": ("members", "public"),
}


def asker(given: Mapping[str, str | None], *, defaults: bool) -> Callable[..., str]:
    """Make what takes an option, else asks its question, else takes the default."""

    def tell(name: str, guess: str = "") -> str:
        words, usual = PROMPTS[name]
        usual = guess or usual
        told = given.get(name)
        if told is not None or defaults:
            return usual if told is None else told
        answer = click.prompt(
            words,
            default=usual,
            show_default=bool(usual),
            type=click.Choice(CHOICES[name]) if name in CHOICES else None,
            err=True,
        )
        return str(answer)

    return tell


def beginning(
    tell: Callable[..., str], given: Mapping[str, str | None], branch: str
) -> tuple[Beginning, str]:
    """Take or ask for all that a new archive is told, and whose code is at work."""
    name, place = tell("name"), tell("place")
    staff = tuple(map(person, listed(tell("staff"))))
    since = day_or_today(given.get("since")).isoformat()
    codes = [one.code for one in staff]
    heads = [one.code for one in staff if "authorize" in MAY[one.role]]
    me = tell("me", (heads or codes or [""])[0])
    if me not in codes:
        raise click.UsageError(f"--me {me!r} is nobody of the staff: {codes}.")
    standards = tuple(known_standard(one) for one in listed(tell("standards")))
    density, seen_by = tell("report_density"), tell("seen_by")
    source = tell("program", installed_from())
    if source and not PINNED.fullmatch(source):
        raise click.UsageError(
            f"--program {source!r}: write git+URL@ and the 40 digits of a commit, or "
            "the https address of a wheel: everyone must get the same program."
        )
    told = Beginning(
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
    )
    return told, me


def listed(text: str) -> list[str]:
    """
    Take a list apart that was written between commas.

    >>> listed("T01 technician, E01 engineer")
    ['T01 technician', 'E01 engineer']
    """
    return [part.strip() for part in text.split(",") if part.strip()]


def person(text: str) -> Person:
    """Read one of the staff: code, role, address."""
    words = text.split()
    known = 2 <= len(words) <= 3 and words[1] in MAY and ID.fullmatch(words[0])
    if not known or (len(words) == 3 and "@" not in words[2]):
        raise click.UsageError(
            f"--staff {text!r}: write a code, one of {', '.join(MAY)}, and perhaps an "
            "e-mail address, such as E01 engineer e01@lab.example."
        )
    return Person(*words)


def known_standard(text: str) -> str:
    """Spell a standard as it is printed."""
    known = standard(text)
    if known is None:
        near = nearest(text)
        hint = f"Did you mean {near}?" if near else ", ".join(designations())
        raise click.UsageError(f"--standards {text!r}: no rows for it. {hint}")
    return known.designation


def with_email(told: Beginning, me: str, email: str) -> Beginning:
    """Put the address that git will use beside one's own code."""
    staff = tuple(
        replace(one, email=one.email or email) if one.code == me else one
        for one in told.staff
    )
    return replace(told, staff=staff)
