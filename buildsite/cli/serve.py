"""`serve`: the site on this machine, rebuilt when a record changes."""

import tempfile
from contextlib import suppress
from pathlib import Path

import click

from buildsite.build import build as build_site
from buildsite.cli.build import cores
from buildsite.cli.common import archive_root, root_option
from buildsite.errors import EnvironmentFault
from buildsite.history.run import checkout
from buildsite.pages.site_sources import Options
from buildsite.serve import open_server
from buildsite.serve import serve as serve_site


@click.command()
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8642,
    show_default=True,
    help="0 for any free port.",
)
@root_option
def serve(port: int, root: Path | None) -> None:
    """
    Build the site, show it on 127.0.0.1, and rebuild it when a record changes.

    Stop it with Ctrl-C. Writes nothing to the archive.

    Example: buildsite serve --port 8000
    """
    root = archive_root(root)
    with tempfile.TemporaryDirectory(prefix="buildsite-") as folder:
        site = Path(folder) / "site"

        def rebuild() -> None:
            try:
                alone = checkout(root).commit is None
                options = Options(without_history=alone)
                built = build_site(
                    root, site, options, cores(), cache=True, folder=Path(folder)
                )
            except EnvironmentFault as fault:
                click.echo(f"{fault.cause} {fault.remedy}", err=True)
                return
            click.echo(f"{built.tests} tests, {built.pages} pages", err=True)

        rebuild()
        try:
            server = open_server(site, port)
        except OSError as fault:
            raise EnvironmentFault(
                f"Can't use port {port}: {fault.strerror}.",
                "Choose another port, or --port 0 for any free one.",
            ) from fault
        click.echo(f"http://127.0.0.1:{server.server_address[1]}/index.html")
        with suppress(KeyboardInterrupt):
            serve_site(server, root / "records", rebuild)
        click.echo("stopped", err=True)
