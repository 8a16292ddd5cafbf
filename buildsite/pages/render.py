"""Page → HTML. Only this module and `templates` use jinja2."""

from base64 import b64encode
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Protocol

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from buildsite.pages.templates import KeptTemplates

_PACKAGE = Path(__file__).resolve().parents[1]


def folder() -> Path:
    """Return the folder of the templates: inside a wheel, or next to the package."""
    inside = _PACKAGE / "templates"
    return inside if inside.exists() else _PACKAGE.parent / "templates"


@cache
def environment() -> Environment:
    """Return the templates, compiled once a process; an unknown name is an error."""
    made = Environment(
        loader=KeptTemplates(folder()),
        undefined=StrictUndefined,
        autoescape=True,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    # Templates ask for attributes alone, hundreds a page, never for an item by a dot.
    vars(made)["getattr"] = getattr
    return made


def compile_templates() -> None:
    """Compile every template, for the processes that are forked then."""
    for name in environment().list_templates(extensions=["html"]):
        environment().get_template(name)


class Rendered(Protocol):
    """Something rendered by a template, which it names."""

    @property
    def template(self) -> str:
        """File name of the template."""


def render(page: Rendered) -> bytes:
    """Return one page as HTML."""
    return fragment(page).encode()


def fragment(part: Rendered) -> Markup:
    """Return a page, or a part of one for another template, as HTML."""
    template = environment().get_template(part.template)
    return Markup(template.render(page=part))  # noqa: S704 (by a template)


JOINED = {
    "style.css": (
        "frame",
        "facts",
        "tables",
        "figure",
        "instrument",
        "notes",
        "compare",
        "lists",
        "find",
        "brief",
        "hand",
        "data",
        "working",
        "wide",
        "print",
    ),
    "kept.css": (
        "frame",
        "facts",
        "tables",
        "figure",
        "notes",
        "wide",
        "print",
        "kept",
    ),
    "site.js": (
        "match",
        "drawing",
        "lists",
        "search_data",
        "finder",
        "search",
        "curve",
        "shut_figures",
        "picture",
        "others",
        "two_curves",
        "two_tests",
        "digest",
        "hand",
    ),
}
"""Files of a site that are joined of parts, in order: css/frame.css, js/lists.js …"""


@cache
def template_file(name: str) -> bytes:
    """Return a file that pages use unchanged: style, script, icon."""
    parts = JOINED.get(name)
    if parts is None:
        return (folder() / name).read_bytes()
    kind = name.rpartition(".")[2]
    texts = [(folder() / kind / f"{part}.{kind}").read_text("utf-8") for part in parts]
    if kind == "js":  # each in its own scope
        texts = [f"(() => {{\n{text}}})();\n" for text in texts]
    return "\n".join(texts).encode()


def policy_of(style: str) -> str:
    """Return the policy that admits this style and embedded pictures only."""
    digest = b64encode(sha256(style.encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
