"""The guides name the commands and options there are; examples are run in `cli/`."""

import inspect
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from buildsite.cli import COMMANDS, buildsite

ROOT = Path(__file__).parents[1]
GUIDES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
GUIDE = "\n".join(path.read_text("utf-8") for path in GUIDES)


def command(name: str) -> click.Command:
    found = buildsite.get_command(click.Context(buildsite), name)
    assert found is not None
    return found


def everything() -> Iterator[tuple[str, click.Command]]:
    """Every command, and the commands below it, each with its whole name."""
    for name in sorted(COMMANDS):
        whole = command(name)
        yield name, whole
        if isinstance(whole, click.Group):
            for below in sorted(whole.commands):
                yield f"{name} {below}", whole.commands[below]


EVERY = dict(everything())


def example(name: str) -> list[str]:
    """The words of the example that the help of a command ends with."""
    told = inspect.cleandoc(EVERY[name].help or "")
    found = re.findall(r"^Example: buildsite (.+)$", told, re.M)
    assert len(found) == 1, "the help has one line `Example: buildsite …`"
    return shlex.split(found[0])


def options(name: str) -> Iterator[str]:
    for parameter in EVERY[name].params:
        if isinstance(parameter, click.Option):
            yield from (o for o in parameter.opts if o.startswith("--"))


EACH = pytest.mark.parametrize("name", EVERY)


@EACH
def test_the_example_is_of_its_own_command(name: str) -> None:
    assert " ".join(example(name)).startswith(name)


@EACH
def test_the_command_stands_in_the_guides(name: str) -> None:
    first, _, kind = name.partition(" ")

    assert f"buildsite {first}" in GUIDE
    assert f"`{kind}`" in GUIDE or not kind


@EACH
def test_each_option_stands_in_the_guides(name: str) -> None:
    assert [option for option in options(name) if f"`{option}" not in GUIDE] == []


def test_the_guides_name_no_other_command_or_option() -> None:
    known = {option for name in EVERY for option in options(name)}
    spans = re.findall(r"`(buildsite [^`]+)`", GUIDE)
    lines = re.findall(r"^\s*(?:\S*/)?(buildsite .+)$", GUIDE, re.M)
    for used in (text.split("#")[0].split() for text in spans + lines):
        assert used[1] in COMMANDS or used[1].startswith("-"), used
        wrong = [w for w in used if w.startswith("--") and w.split("=")[0] not in known]
        assert set(wrong) <= {"--help", "--version"}, used


def links() -> Iterator[tuple[Path, str]]:
    for path in [*GUIDES, *ROOT.glob("*.md")]:
        for link in re.findall(r"\]\(([^)#\s]+)", path.read_text("utf-8")):
            if "://" not in link:
                yield path, link


def test_links_between_the_guides_hold() -> None:
    lost = [(path.name, x) for path, x in links() if not (path.parent / x).exists()]

    assert lost == []


def test_no_guide_holds_the_marks_of_a_merge() -> None:
    texts = [*GUIDES, *ROOT.glob("*.md"), ROOT / "buildsite/starting/guide.md"]
    marked = re.compile(r"^(<{7} |={7}$|>{7} )", re.MULTILINE)

    assert [path.name for path in texts if marked.search(path.read_text("utf-8"))] == []
