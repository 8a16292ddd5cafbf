"""Page → text. Only this module knows the templates, and that they are jinja2's."""

from base64 import b64encode
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Protocol

from jinja2 import Environment, FileSystemLoader, StrictUndefined

_PACKAGE = Path(__file__).resolve().parents[1]


def folder() -> Path:
    """Folder of the templates: inside a wheel, or beside the package in a clone."""
    inside = _PACKAGE / "templates"
    return inside if inside.exists() else _PACKAGE.parent / "templates"


@cache
def environment() -> Environment:
    """Compile templates once a process; a name that is not there is an error."""
    return Environment(
        loader=FileSystemLoader(folder()),
        undefined=StrictUndefined,
        autoescape=True,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


class Rendered(Protocol):
    """What a template can be filled with: it names the template."""

    @property
    def template(self) -> str:
        """File name of the template."""


def render(page: Rendered) -> bytes:
    """Write one page."""
    template = environment().get_template(page.template)
    return template.render(page=page).encode()


@cache
def own(name: str) -> bytes:
    """Return a file of the house that pages use as it is: style, script, icon."""
    return (folder() / name).read_bytes()


def policy_of(style: str) -> str:
    """Allow this one style and the picture inside the file, and nothing else."""
    digest = b64encode(sha256(style.encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
