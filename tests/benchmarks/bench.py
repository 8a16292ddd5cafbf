"""What is measured on: archives of N tests, made when asked for, and how often."""

import shutil
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import click

from tests.benchmarks.archive import Past, make_archive
from tests.benchmarks.measure import BUILDSITE, PYTHON, Spent, spent

NAIVE_AT_MOST = 100  # its cost a test does not depend on how many there are
CACHE = ".git/buildsite"


@dataclass
class Bench:
    """
    A folder with archives of one size.

    Attributes
    ----------
    clock
        What is compared: seconds by the clock, or of the processors, which other work
        on the machine hardly moves.
    """

    folder: Path
    size: int
    rounds: int
    jobs: int
    seed: int = 1
    clock: str = "wall"
    made: dict[str, list[Path]] = field(default_factory=dict)

    def tests(self, past: Past) -> list[Path]:
        """Return the tests of the archive with this past, which is made if need be."""
        if past not in self.made:
            click.echo(f"Making {self.size} tests, past: {past} …", err=True)
            root = self.folder / past
            self.made[past] = make_archive(root, self.size, past, self.seed)
        return self.made[past]

    def archive(self, past: Past) -> Path:
        """Return the archive with this past."""
        self.tests(past)
        return self.folder / past

    def copy(self, past: Past, name: str) -> Path:
        """Return a copy of an archive, to write to."""
        root = self.folder / name
        shutil.copytree(self.archive(past), root)
        return root

    def build(
        self, root: Path, site: str, *more: str, jobs: int | None = None
    ) -> tuple[str | Path, ...]:
        """Return the command that builds a site."""
        out = ("--out", self.folder / site, "--jobs", str(jobs or self.jobs))
        return (*BUILDSITE, "build", "--root", root, *out, *more)

    def clean(self, past: Past, name: str) -> Spent:
        """Build a site from nothing, and delete it."""
        root = self.archive(past)
        forget(root)
        try:
            return self.spent(self.build(root, name, "--no-cache"))
        finally:
            shutil.rmtree(self.folder / name, ignore_errors=True)

    def naive(self, out: str) -> tuple[str | Path, ...]:
        """Return the command of the afternoon's pipeline, on some of the tests."""
        pipeline = (PYTHON, "-m", "tests.benchmarks.naive", self.folder / out)
        return (*pipeline, *self.tests("none")[:NAIVE_AT_MOST])

    def spent(self, words: Sequence[str | Path], root: Path | None = None) -> Spent:
        """Run a command, and return what it took."""
        return spent(words, root or self.folder)

    def takes(self, words: Sequence[str | Path], root: Path | None = None) -> float:
        """Run a command, and return its seconds by the clock that is compared."""
        return self.seconds(self.spent(words, root))

    def seconds(self, took: Spent) -> float:
        """Return the seconds that are compared."""
        return took.wall if self.clock == "wall" else took.cpu


def forget(root: Path) -> None:
    """Delete what the program remembers of an archive."""
    shutil.rmtree(root / CACHE, ignore_errors=True)
