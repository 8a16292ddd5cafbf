"""`next`: advice at the bench on the next step of a test in progress."""

import json
from pathlib import Path
from typing import Any

import click

from buildsite.cli.common import archive_root, open_archive, root_option, test_ids
from buildsite.entering.earlier import earlier_mean
from buildsite.errors import FAULTY
from buildsite.record.messages import about_comma
from buildsite.record.reading import plain

UNIT = "in the unit of the mold's masses (g, kg or lb)."
PAN, LEFT = f"Soil in the pan, {UNIT}", f"Total soil available, {UNIT}"


class Number(click.ParamType[float]):
    """A number, with a word on a decimal comma."""

    name = "number"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return the number; refuse what is none."""
        try:
            return float(plain(value))
        except ValueError:
            comma = about_comma(str(value))
            self.fail(f"{value!r} is not a number. {comma}".rstrip(), param, ctx)


NUMBER = Number()


@click.command()
@click.argument("test")
@click.option("--pan", type=NUMBER, help=PAN)
@click.option("--water-content", type=NUMBER, help="Its water content, percent.")
@click.option("--left", type=NUMBER, help=LEFT)
@click.option("--aim", type=NUMBER, help="Target water content, percent.")
@click.option("--json", "as_data", is_flag=True, help="As JSON, in SI units.")
@root_option
def next(test: str, root: Path | None, *, as_data: bool, **now: float | None) -> None:
    """
    Advise on the next step of TEST, with or without results from the oven.

    Reports whether the wet mass still rises, on which side of the optimum the points
    are, which points are missing, the water to add for the next one, and whether there
    is enough soil.

    Example: buildsite next AQ-0008 --pan 3100
    """
    folder = archive_root(root)
    (id,) = test_ids(folder, [test])
    archive = open_archive(folder)
    file = archive.find("test", id) or id
    made = archive.outcome(file)
    if made is None:
        click.echo("\n".join(map(str, archive.flags(file))), err=True)
        raise SystemExit(FAULTY)
    if made.kind.advise is None:
        raise click.UsageError(
            f"{id} is a {made.kind.title.lower()}, which has no points."
        )
    found = made.kind.advise(made.case, now, earlier_mean(archive, file))
    if as_data:
        click.echo(json.dumps(found.data, indent=2, sort_keys=True))
    else:
        click.echo("\n".join(found.lines))
