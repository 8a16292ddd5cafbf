"""The lock files: complete, by hash, of one mind, and without traces of a machine."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
RUN = ROOT / "requirements.lock"
TOOLS = ROOT / ".ci" / "tools.lock"
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def pins(path: Path) -> dict[str, str]:
    """Package to what is pinned: version, marker and hashes."""
    entries = path.read_text("utf-8").replace("\\\n", "").splitlines()
    return dict(entry.split("==", 1) for entry in entries)


def named(requirements: list[str]) -> set[str]:
    """Names that the lock must hold, without the project's own."""
    found = (re.split(r"[\[<>=]", text, maxsplit=1)[0] for text in requirements)
    return {name.strip().lower() for name in found} - {"buildsite"}


@pytest.mark.parametrize("path", [RUN, TOOLS], ids=lambda path: path.name)
def test_every_pin_has_hashes(path: Path) -> None:
    without = [k for k, v in pins(path).items() if v.count("--hash=sha256:") < 1]

    assert without == []


@pytest.mark.parametrize("path", [RUN, TOOLS], ids=lambda path: path.name)
def test_no_trace_of_where_it_was_made(path: Path) -> None:
    assert (
        re.findall(r"https?:|file:|index-url|find-links|/\w+/", path.read_text()) == []
    )


def test_the_run_lock_holds_what_the_project_asks_for() -> None:
    extra = PROJECT["optional-dependencies"]["install"]

    assert named(PROJECT["dependencies"] + extra) <= pins(RUN).keys()


def test_the_tools_lock_holds_the_run_lock_and_the_tools() -> None:
    assert pins(RUN).items() <= pins(TOOLS).items()
    assert named(PROJECT["optional-dependencies"]["dev"]) <= pins(TOOLS).keys()


def test_a_package_has_one_version_on_every_machine() -> None:
    # Two versions by Python or platform would give two sets of numbers from one commit.
    lines = [*filter(re.compile(r"\S+==").match, RUN.read_text().splitlines())]

    assert len(lines) == len(pins(RUN))
    # A font in a web's format is unpacked by one of two packages, as the interpreter
    # is; a report has none.
    chosen = [line for line in lines if ";" in line]
    assert all("implementation" in line for line in chosen)
