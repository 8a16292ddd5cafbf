"""Templates are compiled once, and again when they or what compiles them change."""

import os
import sys
from pathlib import Path

import pytest
from jinja2 import Environment, TemplateNotFound, compiler

from buildsite.pages import templates
from buildsite.pages.templates import KeptTemplates


def made(folder: Path, *, trim: bool = False) -> Environment:
    return Environment(
        loader=KeptTemplates(folder),
        autoescape=True,
        auto_reload=False,
        trim_blocks=trim,
    )


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    (tmp_path / "page.html").write_text("<p>{{ text }}</p>")
    return tmp_path


def compiled(
    folder: Path, monkeypatch: pytest.MonkeyPatch, *, trim: bool = False
) -> list[str]:
    """Render a page, and return the templates that were compiled for it."""
    names: list[str] = []
    whole = templates.ByteCode.source_to_code

    def noted(self: templates.ByteCode, *args: object, **how: int) -> object:
        names.append(self.name)
        return whole(self, *args, **how)

    with monkeypatch.context() as patch:
        patch.setattr(templates.ByteCode, "source_to_code", noted)
        page = made(folder, trim=trim).get_template("page.html")
        assert page.render(text="<1>").startswith("<p>&lt;1&gt;</p>")
    return names


def test_byte_code_is_kept_and_taken(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert compiled(folder, monkeypatch) == ["page.html"]
    assert compiled(folder, monkeypatch) == []


def test_a_template_that_changed_is_compiled_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    compiled(folder, monkeypatch)
    page = folder / "page.html"
    page.write_text("<p>{{ text }}</p>!")
    assert compiled(folder, monkeypatch) == ["page.html"]

    length = page.stat().st_size
    page.write_text("<p>{{ text }}</p>?")  # as long, and a moment later
    os.utime(page, ns=(1, 1))
    assert page.stat().st_size == length
    assert compiled(folder, monkeypatch) == ["page.html"]
    assert made(folder).get_template("page.html").render(text="") == "<p></p>?"


def test_another_library_or_option_compiles_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    compiled(folder, monkeypatch)
    assert compiled(folder, monkeypatch, trim=True) == ["page.html"]

    other = folder / "compiler.py"
    other.write_text("another version")
    monkeypatch.setattr(compiler, "__file__", str(other))
    assert compiled(folder, monkeypatch, trim=True) == ["page.html"]


def test_nothing_is_kept_where_byte_code_is_not_written(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)

    assert compiled(folder, monkeypatch) == ["page.html"]
    assert compiled(folder, monkeypatch) == ["page.html"]
    assert [path.name for path in folder.iterdir()] == ["page.html"]


def test_damaged_byte_code_is_made_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    compiled(folder, monkeypatch)
    (kept,) = (folder / "__pycache__").iterdir()
    kept.write_bytes(kept.read_bytes()[:10])

    assert compiled(folder, monkeypatch) == ["page.html"]


def test_a_template_that_is_not_there_is_named(folder: Path) -> None:
    with pytest.raises(TemplateNotFound, match=r"other\.html"):
        made(folder).get_template("other.html")
