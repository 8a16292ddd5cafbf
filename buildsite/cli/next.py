"""`next`: at the bench, what to do next on a test that goes on."""

import json
from pathlib import Path

import click

from buildsite.cli.common import archive_root, open_archive, root_option, test_ids
from buildsite.entering.earlier import earlier_mean
from buildsite.errors import FAULTY


@click.command()
@click.argument("test")
@click.option("--pan", type=float, help="Soil in the pan now, in units.compacted.")
@click.option("--water-content", type=float, help="Its water content now, percent.")
@click.option("--left", type=float, help="Soil at hand in all, in units.compacted.")
@click.option("--aim", type=float, help="Water content to aim at, percent.")
@click.option("--json", "as_data", is_flag=True, help="The same as JSON, in SI units.")
@root_option
def next(test: str, root: Path | None, *, as_data: bool, **now: float | None) -> None:
    """
    Say what to do next on TEST, with or without results from the oven.

    Whether the wet mass still rises, on which side of the optimum the test stands, what
    points are still wanted, the water to add for the next one, and whether the soil
    suffices.

    Example: buildsite next AQ-0008 --pan 3.1
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
            f"{id} is a {made.kind.title.lower()}: it has no points."
        )
    found = made.kind.advise(made.case, now, earlier_mean(archive, file))
    if as_data:
        click.echo(json.dumps(found.data, indent=2, sort_keys=True))
    else:
        click.echo("\n".join(found.lines))
