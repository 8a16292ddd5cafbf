"""Page → text. Only this module knows the templates, and that they are jinja2's."""

import re
from functools import cache
from pathlib import Path
from typing import Protocol

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from buildsite.pages.view_models import BlockView

_PACKAGE = Path(__file__).resolve().parents[1]


def folder() -> Path:
    """Folder of the templates: inside a wheel, or beside the package in a clone."""
    inside = _PACKAGE / "templates"
    return inside if inside.exists() else _PACKAGE.parent / "templates"


@cache
def environment() -> Environment:
    """Compile templates once a process; a name that is not there is an error."""
    made = Environment(
        loader=FileSystemLoader(folder()),
        undefined=StrictUndefined,
        autoescape=True,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters.update(table_rows=table_rows, fact_rows=fact_rows)
    return made


SPECIAL = re.compile("[&<>'\"]").search


def escaped(text: str) -> str:
    """Escape a text as templates do: most have nothing to escape."""
    return str(escape(text)) if SPECIAL(text) else text


def attribute(name: str, text: str) -> str:
    """Write an attribute; nothing where it says nothing."""
    return f' {name}="{escaped(text)}"' if text else ""


def linked(text: str, href: str) -> str:
    """Write a text that leads somewhere, or only the text."""
    return f"<a{attribute('href', href)}>{escaped(text)}</a>" if href else escaped(text)


def table_rows(block: BlockView) -> Markup:
    """Write the rows of a table: a site has thousands, and templates are slow."""
    labels = [
        escaped(f"{label}, {unit}" if unit else label)
        for label, unit, _ in block.columns[1:]
    ]
    lines = []
    for css, word, anchor, point, head, cells in block.rows:
        about = attribute("class", css) + attribute("id", anchor)
        tag = f' <span class="tag">{escaped(word)}</span>' if word else ""
        lines += [
            f"<tr{about}{attribute('data-point', point)}>\n"
            f'<th scope="row"{attribute("class", head.css)}>'
            f"{linked(head.text, head.href)}{tag}</th>\n"
        ]
        lines += [
            f'<td{attribute("class", css)} data-label="{label}">'
            f"{linked(text, href)}</td>\n"
            for (text, href, css), label in zip(cells, labels, strict=True)
        ]
        lines += ["</tr>\n"]
    return Markup("".join(lines))  # noqa: S704 (all texts in it are escaped)


def fact_rows(block: BlockView) -> Markup:
    """Write labels with what is stated of each."""
    lines = []
    for css, _, _, _, head, cells in block.rows:
        texts = (linked(text, href) for text, href, _ in cells if text)
        stated = "".join(f"<dd>{text}</dd>" for text in texts)
        name = f"<dt>{escaped(head.text)}</dt>"
        lines.append(f"<div{attribute('class', css)}>{name}{stated}</div>\n")
    return Markup("".join(lines))  # noqa: S704 (all texts in it are escaped)


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
    """Give a file of the house that pages use as it is: style, script, icon."""
    return (folder() / name).read_bytes()
