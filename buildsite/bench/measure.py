"""Whole processes in turn: medians, spreads, ratios, and the bounds they must keep."""

import os
import statistics
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from time import perf_counter
from typing import Any

import click

PYTHON = sys.executable
# The same as the installed `buildsite`, without guessing where that was installed.
BUILDSITE = (
    PYTHON,
    "-c",
    "import sys; sys.argv[0] = 'buildsite'; from buildsite.cli import main; main()",
)


@dataclass(frozen=True, slots=True)
class Spread:
    """Seconds that several runs of one thing took."""

    median: float
    least: float
    most: float
    runs: int


def spread(seconds: Sequence[float]) -> Spread:
    """
    Sum several runs up.

    >>> spread([0.5, 0.1, 0.2])
    Spread(median=0.2, least=0.1, most=0.5, runs=3)
    """
    middle = statistics.median(seconds)
    return Spread(middle, min(seconds), max(seconds), len(seconds))


@dataclass(frozen=True, slots=True)
class Line:
    """
    One thing measured, and how it compares.

    `share` is the part of a run that one unit takes, such as a test of a build;
    `ratio` compares with what `against` names, and `bound` says what it must keep.
    """

    name: str
    spread: Spread
    share: int = 1
    unit: str = ""
    against: str = ""
    ratio: float | None = None
    bound: str = ""
    kept: bool = True

    @property
    def each(self) -> float:
        """Median seconds a unit."""
        return self.spread.median / self.share

    def plain(self) -> dict[str, Any]:
        """Write the line for `--json`."""
        return {
            "name": self.name,
            "median_s": round(self.spread.median, 6),
            "least_s": round(self.spread.least, 6),
            "most_s": round(self.spread.most, 6),
            "runs": self.spread.runs,
            "units": self.share,
            "unit": self.unit or "process",
            "each_s": round(self.each, 9),
            "against": self.against or None,
            "ratio": None if self.ratio is None else round(self.ratio, 3),
            "bound": self.bound or None,
            "kept": self.kept,
        }


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
        said = "\n".join((done.stdout + done.stderr).splitlines()[-20:])
        shown = " ".join(str(word) for word in words[:8])
        raise click.ClickException(f"{shown} … ended with {done.returncode}:\n{said}")
    return done


def as_installed() -> dict[str, str]:
    """
    Environment of a program that is installed: its bytecode is kept.

    A shell that forbids bytecode would have every process compile the program anew,
    which no laboratory's does.
    """
    return {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def timed(words: Sequence[str | Path], cwd: Path) -> float:
    """Seconds that a process took from start to end."""
    start = perf_counter()
    run(words, cwd)
    return perf_counter() - start


def in_turn(
    runs: Mapping[str, Callable[[int], float]], rounds: int
) -> dict[str, Spread]:
    """
    Measure several things, one of each a round.

    A slow minute of the machine then hits all of them alike, and ratios hold.

    Parameters
    ----------
    runs
        Each makes one measurement of a round with the given number, in seconds.
    rounds
        How many times.
    """
    seconds: dict[str, list[float]] = {name: [] for name in runs}
    for number in range(rounds):
        for name, once in runs.items():
            seconds[name].append(once(number))
    return {name: spread(taken) for name, taken in seconds.items()}
