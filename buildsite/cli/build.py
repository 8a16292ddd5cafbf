"""`build`: the whole site."""

import json
import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildsite.build import BuildResult
from buildsite.build import build as build_site
from buildsite.cache.seen import lines
from buildsite.cli.common import archive_root, root_option
from buildsite.cli.progress import shown, verbose_option
from buildsite.exports.manifest import NAME as MANIFEST
from buildsite.pages.site_sources import Options
from buildsite.progress import Progress
from buildsite.record.canonical import digest
from buildsite.values import dataclass

if TYPE_CHECKING:
    from buildsite.shards import Part


@click.command()
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    default=None,
    help="Folder of the site. Default: site/ in the archive.",
)
@click.option(
    "--jobs",
    type=click.IntRange(1),
    default=None,
    help="Number of processes. Default: one per core. The site is always the same.",
)
@click.option("--strict", is_flag=True, help="Exit 1 if a complete test has an error.")
@click.option(
    "--base-url",
    default="",
    help="Address of the published site, for 404.html and on printed pages.",
)
@click.option(
    "--release",
    is_flag=True,
    help="Build the public site: issued reports of projects with `publish: yes`.",
)
@click.option(
    "--previous",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    default=None,
    help="manifest.json of the site published now, which this one replaces.",
)
@click.option(
    "--without-history",
    is_flag=True,
    help="Build only the present state, from a folder that is not a clone.",
)
@click.option(
    "--no-cache",
    is_flag=True,
    help="Make every page anew. The site is the same.",
)
@click.option(
    "--shard",
    "part",
    metavar="I/N",
    callback=lambda _, __, text: part_named(text) if text else None,
    help="Build only part I of N, into a folder of its own (--out).",
)
@click.option(
    "--survey",
    "surveyed",
    metavar="I/N",
    callback=lambda _, __, text: part_named(text) if text else None,
    help="Only read what comparing needs of part I of N, into a folder (--out).",
)
@click.option(
    "--surveys",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    metavar="DIR",
    help="Take it from DIR, a folder each, when a shard is built.",
)
@click.option(
    "--merge",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    metavar="DIR",
    help="Join the shards in DIR, a folder each, to the whole site.",
)
@click.option(
    "--scheduler",
    default="",
    metavar="ADDRESS",
    help="Have the pages made by the workers of a scheduler of Dask's distributed.",
)
@verbose_option
@root_option
def build(
    out: Path | None,
    jobs: int | None,
    base_url: str,
    previous: Path | None,
    root: Path | None,
    part: "Part | None",
    surveyed: "Part | None",
    surveys: Path | None,
    merge: Path | None,
    scheduler: str,
    *,
    strict: bool,
    release: bool,
    without_history: bool,
    no_cache: bool,
    verbose: bool,
) -> None:
    """
    Build the laboratory's copy of the site, with drafts, flags and equipment.

    With --release, build only what clients may see.

    Example: buildsite build --out site
    """
    shards = Shards(part, surveyed, surveys, merge)
    if scheduler and shards != Shards():
        raise click.UsageError("Give --scheduler or shards, not both.")
    shards.refuse_mixed(out)
    root = archive_root(root)
    if out is not None and not str(out).strip():
        raise click.UsageError("The folder's name is blank: name one with --out.")
    out = (out or root / "site").resolve()
    refuse_records(root, out)
    options = Options(
        base_url=base_url,
        release=release,
        previous=digest(previous.read_bytes()) if previous is not None else "",
        without_history=without_history,
    )
    before = tests_in(previous) if previous is not None else frozenset()
    with shown(verbose=verbose) as progress:
        jobs = jobs or cores()
        if scheduler:
            built = build_site(root, out, options, jobs, progress, scheduler=scheduler)
        else:
            cache = not no_cache
            built = made(root, out, options, jobs, shards, progress, cache=cache)
    tell(built, shards.told)
    is_site = not shards.told
    gone = sorted(before - tests_in(out / MANIFEST)) if is_site else []
    if gone:
        click.echo(
            f"Published before, and no longer on this site: {', '.join(gone)}.",
            err=True,
        )
    click.echo((out / "index.html").as_uri() if is_site else out)
    raise SystemExit(1 if strict and built.errors else 0)


@dataclass(frozen=True)
class Shards:
    """Which part of a site is built or surveyed, of what; what is joined."""

    part: "Part | None" = None
    surveyed: "Part | None" = None
    surveys: Path | None = None
    merge: Path | None = None

    def refuse_mixed(self, out: Path | None) -> None:
        """Refuse two steps at once, and a step without its folder."""
        steps = [one for one in (self.part, self.surveyed, self.merge) if one]
        if len(steps) > 1 or (steps and self.merge is None and out is None):
            raise click.UsageError(
                "A survey and a shard need a folder of their own: give --out, and join "
                "shards with --merge in a step after them."
            )
        if self.surveys is not None and self.part is None:
            raise click.UsageError("--surveys is for a shard: give --shard too.")

    @property
    def told(self) -> str:
        """What is built if it is no site."""
        if self.part is not None:
            return f"shard {self.part}: "
        return f"survey {self.surveyed}: " if self.surveyed is not None else ""


def made(
    root: Path,
    out: Path,
    options: Options,
    jobs: int,
    shards: Shards,
    progress: Progress,
    *,
    cache: bool,
) -> BuildResult:
    """Build a site, a part of one, or one of its parts."""
    if shards == Shards():
        return build_site(root, out, options, jobs, progress, cache=cache)
    from buildsite import shards as parts  # late: few builds are in parts

    if shards.part is not None:
        part, surveys = shards.part, shards.surveys
        return parts.build_shard(
            root, out, options, part, jobs, progress, surveys=surveys
        )
    if shards.surveyed is not None:
        return parts.build_survey(root, out, options, shards.surveyed, jobs, progress)
    if shards.merge is None:
        raise AssertionError("one of them is given")
    return parts.merge_shards(root, out, options, shards.merge, jobs, progress)


def refuse_records(root: Path, out: Path) -> None:
    """Refuse to write a site over the records."""
    records = (root / "records").resolve()
    if out.is_relative_to(records) or records.is_relative_to(out):
        raise click.UsageError(
            f"The site can't be written to {out}: the records are there. "
            "Name another folder with --out."
        )


def tell(built: BuildResult, shard: str) -> None:
    """Say what was built, and what to look at."""
    whole, *more = lines(
        tests=built.tests,
        pages=built.pages,
        errors=built.errors,
        differs=built.checkout.differs,
    )
    click.echo(f"{shard}{whole}", err=True)
    for test, why in sorted(built.withheld.items()):
        click.echo(f"Not published: {test}: {why}.", err=True)
    for found in built.doubtful:
        click.echo(f"Published, but look: {found}.", err=True)
    for line in more:
        click.echo(line, err=True)


def part_named(text: str) -> "Part":
    """
    Return the part of a site that `--shard` names.

    >>> part_named("2/8")
    Part(number=2, count=8)
    """
    from buildsite.shards import Part

    found = re.fullmatch("([0-9]{1,5})/([0-9]{1,5})", text)
    number, count = map(int, found.groups()) if found else (0, 0)
    if not 1 <= number <= count:
        raise click.BadParameter(f"{text!r} is no part: write the second of eight 2/8.")
    return Part(number, count)


def tests_in(manifest: Path) -> frozenset[str]:
    """Return the tests of a manifest; none if it can't be read (see `verify`)."""
    try:
        content = json.loads(manifest.read_bytes())
    except (ValueError, RecursionError):
        return frozenset()
    tests = content.get("tests") if isinstance(content, dict) else None
    return frozenset(tests) if isinstance(tests, dict) else frozenset()


def cores() -> int:
    """Return the number of cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
