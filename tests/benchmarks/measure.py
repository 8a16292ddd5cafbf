"""Whole processes in turn: medians, spreads, ratios, and the bounds they must keep."""

import os
import statistics
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from time import perf_counter
from typing import Any, TypeVar

import click

PYTHON = sys.executable
# The same as the installed `buildsite`, without guessing where that was installed.
BUILDSITE = (
    PYTHON,
    "-c",
    "import sys; sys.argv[0] = 'buildsite'; from buildsite.cli import main; main()",
)
PEAK = (  # a small parent, for a process counts what stood before it was itself
    "import resource, subprocess, sys;"
    "subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, check=True);"
    "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
)


T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Spent:
    """What a process took: by the clock, and of the processors, which others share."""

    wall: float  # s
    cpu: float  # s


@dataclass(frozen=True, slots=True)
class Line:
    """
    One thing measured several times, and how it compares.

    Attributes
    ----------
    name
        What was measured.
    values
        What each run took. [s, or MiB]
    share
        How many units one run did, such as tests of a build.
    unit
        What those units are; a whole process where it is empty.
    measure
        Unit of `values`.
    against, ratio
        What it is compared with, and how.
    bound, kept
        What the ratio must keep, and whether it does.
    """

    name: str
    values: tuple[float, ...]
    share: int = 1
    unit: str = ""
    measure: str = "s"
    against: str = ""
    ratio: float | None = None
    bound: str = ""
    kept: bool = True

    @property
    def each(self) -> float:
        """
        Median of a unit.

        >>> Line("build", (4.0, 1.0, 2.0), 4, "test").each
        0.5
        """
        return statistics.median(self.values) / self.share

    def plain(self) -> dict[str, Any]:
        """Return the line for `--json`."""
        return {
            "name": self.name,
            "median": round(statistics.median(self.values), 6),
            "least": round(min(self.values), 6),
            "most": round(max(self.values), 6),
            "measure": self.measure,
            "runs": len(self.values),
            "units": self.share,
            "unit": self.unit or "process",
            "each": round(self.each, 9),
            "against": self.against or None,
            "ratio": None if self.ratio is None else round(self.ratio, 3),
            "bound": self.bound or None,
            "kept": self.kept,
        }

    def cells(self) -> tuple[str, str, str, str]:
        """
        Return the line for a table: what, how much, how it compares, its bound.

        >>> Line("build", (4.0, 1.0, 2.0), 4, "test", bound="at most 1 ms").cells()
        ('build', '500 ms a test (250 to 1000)', '', 'at most 1 ms')
        """
        scale, measure = (1000, "ms") if self.measure == "s" else (1, self.measure)
        if self.unit and scale * self.each < 1:
            scale, measure = 1_000_000, "µs"
        of = f" a {self.unit}" if self.unit else ""
        found = f"{plain(scale * self.each)} {measure}{of}"
        if len(self.values) > 1:
            least, most = (
                plain(scale * f(self.values) / self.share) for f in (min, max)
            )
            found += f" ({least} to {most})"
        ratio = "" if self.ratio is None else f"{plain(self.ratio)} {self.against}"
        met = "" if self.kept else ": MISSED"
        return self.name, found, ratio, self.bound + met

    def named(self, name: str, against: str) -> "Line":
        """Return the line under another name, compared in other words."""
        return replace(self, name=name, against=against)

    @property
    def unbound(self) -> "Line":
        """The line, compared and not judged."""
        return replace(self, bound="", kept=True)


def plain(number: float) -> str:
    """
    Return a number to three digits.

    >>> plain(0.01234), plain(1234.5), plain(0.0)
    ('0.0123', '1234', '0')
    """
    return f"{number:.0f}" if abs(number) >= 100 else f"{number:.3g}"


def within(line: Line, most: float) -> Line:
    """Judge a line by itself: not above `most` of its own measure, a unit."""
    scale, measure = (1000, "ms") if line.measure == "s" else (1, line.measure)
    if line.unit and scale * most < 0.1:
        scale, measure = 1_000_000, "µs"
    bound = f"at most {scale * most:g} {measure}"
    return replace(line, bound=bound, kept=line.each <= most)


def at_most(line: Line, other: Line, most: float | None = None) -> Line:
    """Compare with another line: so many times its cost, and not above `most`."""
    ratio = line.each / other.each
    return replace(
        line,
        against=f"times {other.name}",
        ratio=ratio,
        bound="" if most is None else f"at most {most:g}",
        kept=most is None or ratio <= most,
    )


def faster(line: Line, other: Line, least: float) -> Line:
    """Compare with another line: so many times as fast, and not below `least`."""
    ratio = other.each / line.each
    return replace(
        line,
        against=f"times as fast as {other.name}",
        ratio=ratio,
        bound=f"at least {least:g}",
        kept=ratio >= least,
    )


def run(words: Sequence[str | Path], cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run a process that must succeed."""
    done = subprocess.run(
        words, cwd=cwd, capture_output=True, text=True, check=False, env=as_installed()
    )
    if done.returncode:
        last = "\n".join((done.stdout + done.stderr).splitlines()[-20:])
        command = " ".join(str(word) for word in words[:8])
        raise click.ClickException(f"{command} … ended with {done.returncode}:\n{last}")
    return done


def as_installed() -> dict[str, str]:
    """
    Return the environment of a program that is installed: its byte code is kept.

    A shell that forbids byte code would have every process compile the program anew,
    which no laboratory's does.
    """
    here = str(Path(__file__).parents[2])
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"PYTHONPATH": here}


def spent(words: Sequence[str | Path], cwd: Path) -> Spent:
    """Return what a process took, and all that it started."""
    start, before = perf_counter(), getrusage(RUSAGE_CHILDREN)
    run(words, cwd)
    wall, after = perf_counter() - start, getrusage(RUSAGE_CHILDREN)
    user, system = after.ru_utime - before.ru_utime, after.ru_stime - before.ru_stime
    return Spent(wall, user + system)


def peak(words: Sequence[str | Path], cwd: Path) -> float:
    """Return the memory of the largest process below a command, at its peak. [MiB]"""
    return int(run((PYTHON, "-c", PEAK, *words), cwd).stdout) / 1024


def in_turn(
    runs: Mapping[str, Callable[[int], T]], rounds: int
) -> dict[str, tuple[T, ...]]:
    """
    Measure several things, one of each a round.

    A slow minute of the machine then hits all of them alike, and ratios hold.

    Parameters
    ----------
    runs
        Each makes one measurement of a round with the given number.
    rounds
        How many times.
    """
    found: dict[str, list[T]] = {name: [] for name in runs}
    for number in range(rounds):
        for name, once in runs.items():
            found[name].append(once(number))
    return {name: tuple(each) for name, each in found.items()}
