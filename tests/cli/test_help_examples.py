"""
Every example of every `--help`, run as it stands in a fresh clone of the demo. Those
that build or verify a whole archive do so with a small one.

The examples are read from the help texts themselves. The day is one after the demo's
last, for those that take today's.
"""

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import date
from http.client import HTTPConnection
from pathlib import Path

import click
import pytest

from buildsite.cli import buildsite
from tests.cli.running import run
from tests.clones import git
from tests.conftest import ROOT
from tests.entering.terminal import PROGRAM
from tests.issuing.clones import lab
from tests.verify.tampering import laboratory

BLOCK = re.compile(r"^```\n(.*?)^```$", re.MULTILINE | re.DOTALL)
EXAMPLE = re.compile(r"^ *Examples?: (buildsite .+(?:\n(?: {2,}).+)*)", re.MULTILINE)

STOPPED = ("serve",)
"""Run until they are stopped: in a process of its own, by the test below."""


class Today(date):
    """The day of the examples: the demo's last edits are of 2026."""

    @classmethod
    def today(cls) -> "Today":
        return cls(2026, 12, 1)


def commands(
    command: click.Command, names: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Every command with its names, groups and those in them."""
    context = click.Context(command)
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            inner = command.get_command(context, name)
            assert inner is not None
            yield from commands(inner, (*names, name))
    if names:
        yield names, command


def examples(command: click.Command) -> list[str]:
    """The examples in the help of a command."""
    text = command.help or ""
    return [" ".join(found.split()) for found in EXAMPLE.findall(text)]


EVERY = [  # each command, and its example
    (" ".join(names), example)
    for names, command in commands(buildsite)
    for example in examples(command) or [""]
]


WHOLE = ("buildsite build", "buildsite verify")
"""What begins so is of all tests of an archive: the demo's are built by `site`."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where somebody works, on the day of the examples."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("buildsite.cli.common.date", Today)
    return tmp_path


def archive_for(example: str, folder: Path) -> Path:
    """A fresh clone of the demo, or of a small archive with issued tests."""
    root = folder / "demo"
    if example.startswith(WHOLE):
        laboratory(root)
    else:
        # Of the program's files none is asked for; to write them all takes longer than
        # most examples.
        git(folder, "clone", "--quiet", "--shared", "--sparse", str(ROOT), str(root))
        git(root, "sparse-checkout", "set", "records", "program")
        git(root, "switch", "--quiet", "--force-create", "main")
    git(root, "config", "user.name", "A colleague")
    git(root, "config", "user.email", "colleague@lab.example")
    os.chdir(root)
    return root


def test_every_command_has_an_example_of_itself() -> None:
    for name, example in EVERY:
        assert example.startswith(f"buildsite {name}"), name


def change_a_mold(root: Path) -> None:
    """Calibrate a mold again, in an editor."""
    file = root / "records/equipment/M-03.yaml"
    file.write_text(file.read_text("utf-8") + "# calibrated again\n", "utf-8")


def go_outside(root: Path) -> None:
    """Leave the demo: an archive inside another is refused."""
    os.chdir(root.parent)


def publish(root: Path) -> None:
    """Build the site and keep its manifest, as a server would."""
    assert run("build", "--release", "--out", "site").status == 0
    (root / "published").mkdir()
    shutil.copy(root / "site/manifest.json", root / "published/manifest.json")


def fill_in(root: Path) -> None:
    """Fill in the table that the line before has written."""
    head = (root / "results.csv").read_text("utf-8-sig").splitlines()[0]
    names = head.split(",")
    row = {
        "id": "HF-0901",
        "project": "heron-flats",
        "sample": "HF-S03",
        "standard.designation": "t 99",
        "standard.method": "A",
        "compacted.on": "2026-11-02",
        "compacted.by": "T07",
        "units.compacted": "g",
        "point.mold_and_wet_soil": "3868",
    }
    line = ",".join(row.get(name, "") for name in names)
    (root / "results.csv").write_text(f"{head}\n{line}\n", "utf-8")


BEFORE: dict[str, Callable[[Path], None]] = {
    "buildsite init our-archive": go_outside,
    "buildsite commit": change_a_mold,
    "buildsite verify --site": publish,
    "buildsite new moisture-density --from": fill_in,
}
"""What makes the archive suitable: done before an example that begins so."""

SAYS = {
    "buildsite next AQ-0008 --pan 3100": "Water to add: ",
    "buildsite enter AQ-0008": "Point 4: Soil in the pan",
    "buildsite commit": "records/equipment/M-03.yaml",
    "buildsite show HF-0117": '"results"',
    "buildsite issue HF-0109": "HF-0109 r",
    "buildsite worksheet HF-0117": "HF-0117-worksheet.html",
}
"""What an example that begins so must say, or it did nothing."""

CUT_SHORT = "…"
"""In an example of the guides: a digest that is not written out. Not run: part of a
digest proves nothing, and is refused."""


def works(root: Path, example: str) -> None:
    """Run an example, after what makes the archive suitable for it."""
    for begins, prepare in BEFORE.items():
        if example.startswith(begins):
            prepare(root)
    ran = run(*shlex.split(example)[1:])

    assert ran.status == 0, f"{example}\n{ran.out}\n{ran.err}"
    for begins, words in SAYS.items():
        if example.startswith(begins):
            assert words in ran.out + ran.err, example


COMMANDS = (ROOT / "docs/commands.md").read_text("utf-8")
BLOCKS = [
    block.splitlines()
    for block in BLOCK.findall(COMMANDS)
    if block.startswith("buildsite ")
]


FIRST = {lines[0] for lines in BLOCKS}
"""Lines that a guide begins with: they are run there, as an example alone would be."""


@pytest.mark.parametrize(
    ("name", "example"),
    [one for one in EVERY if one[0] not in STOPPED and one[1] not in FIRST],
)
def test_the_example_works(folder: Path, name: str, example: str) -> None:
    works(archive_for(example, folder), example)


@pytest.mark.parametrize("lines", BLOCKS, ids=lambda lines: lines[0])
def test_the_examples_of_a_guide_work_one_after_the_other(
    folder: Path, lines: list[str]
) -> None:
    root = archive_for(lines[0], folder)
    for line in lines:
        if CUT_SHORT not in line:
            works(root, line)


def test_the_example_of_serve_shows_the_site(tmp_path: Path) -> None:
    """With any free port in place of 8000, which another program may hold."""
    root = lab(tmp_path / "lab")
    (example,) = (example for name, example in EVERY if name == "serve")
    words = [word.replace("8000", "0") for word in shlex.split(example)[1:]]
    with subprocess.Popen(
        [sys.executable, "-P", "-c", PROGRAM, *words],
        cwd=root,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stderr=subprocess.STDOUT,
        stdout=subprocess.PIPE,
        text=True,
    ) as served:
        assert served.stdout is not None
        seen, port = "", 0
        while not port and (line := served.stdout.readline()):
            seen += line
            found = re.search(r"http://127\.0\.0\.1:([0-9]+)/index.html", line)
            port = int(found[1]) if found else 0
        assert port, seen
        connection = HTTPConnection("127.0.0.1", port)
        connection.request("GET", "/tests/ML-101/index.html")
        answer = connection.getresponse()
        assert (answer.status, b"ML-101" in answer.read()) == (200, True)
        connection.close()
        served.send_signal(signal.SIGINT)
        assert served.wait(60) == 0, seen + served.stdout.read()
