"""`schema`: a JSON Schema of every kind, next to the records."""

from pathlib import Path

import click

from buildsite.cli.common import archive_root, root_option
from buildsite.cli.record_files import write_schemas
from buildsite.kinds import KIND_FILES


@click.command()
@root_option
def schema(root: Path | None) -> None:
    """
    Write the JSON Schemas for editors to records/.schema/.

    Run it after an update of the program; `new` does it for what it writes.

    Example: buildsite schema
    """
    for name in write_schemas(archive_root(root), KIND_FILES):
        click.echo(name)
