"""Long work at a terminal: how much is done, how fast, and how long it will take."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from shutil import get_terminal_size
from time import monotonic
from typing import Any, TextIO, TypeVar

import click

from buildsite.progress import Progress

F = TypeVar("F", bound=Callable[..., Any])

WAIT = 0.5
"""Seconds before anything is shown: short work shows nothing. [s]"""

EVERY = 0.2
"""Seconds between two looks. [s]"""


def verbose_option(command: F) -> F:
    """Add --verbose, the time of each stage."""
    return click.option(
        "--verbose", is_flag=True, help="Say how long each stage took."
    )(command)


class Shown(Progress):
    """One line that is written over on a terminal; lines of times for `--verbose`."""

    def __init__(
        self, stream: TextIO, *, verbose: bool, clock: Callable[[], float] = monotonic
    ) -> None:
        self.stream, self.verbose, self.clock = stream, verbose, clock
        self.live = stream.isatty()
        self.name, self.of, self.count = "", 0, 0
        self.began = self.start = clock()
        self.next = self.start + WAIT

    def stage(self, name: str, of: int = 0) -> None:
        """Tell how long the last stage took, and begin one."""
        self.end()
        self.name, self.of, self.count = name, of, 0
        self.began = self.clock()
        self._look()

    def done(self, number: int = 1) -> None:
        """Count, and show the count if there is somebody to see it."""
        self.count += number
        self._look()

    def end(self) -> None:
        """End the last stage, and leave the terminal's line empty."""
        self._over("")
        if self.name and self.verbose:
            count = f" ({self.count})" if self.count else ""
            took = f"{self.clock() - self.began:.2f} s"
            self.stream.write(f"{self.name}{count}: {took}\n")
            self.stream.flush()
        self.name = ""

    def _look(self) -> None:
        if self.live and self.clock() >= self.next:
            self.next = self.clock() + EVERY
            took = self.clock() - self.began
            self._over(line(self.name, self.count, self.of, took))

    def _over(self, text: str) -> None:
        """Write over the line; the cursor stays at its end."""
        if self.live:
            width = get_terminal_size().columns - 1
            self.stream.write(f"\r\x1b[K{text[:width]}")
            self.stream.flush()


def line(name: str, count: int, of: int, took: float) -> str:
    """
    Return how far a stage is, how fast, and how long it will take.

    >>> line("pages", 250, 1000, 10.0)
    'pages: 250 of 1000, 25 a second, 30 s left'
    >>> line("reading the history", 0, 0, 3.0)
    'reading the history'
    >>> line("verifying", 1, 400, 2.0)
    'verifying: 1 of 400, 0.5 a second, 13 min left'
    """
    if not of:
        return name
    text = f"{name}: {count} of {of}"
    if not count or took <= 0:
        return text
    rate = count / took
    speed = f"{rate:.0f}" if rate >= 10 else f"{rate:.1f}"
    return f"{text}, {speed} a second, {left((of - count) / rate)} left"


def left(seconds: float) -> str:
    """
    Return a time as somebody who waits would say it.

    >>> [left(5), left(100), left(7000)]
    ['5 s', '100 s', '1 h 57 min']
    """
    if seconds < 120:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min"


@contextmanager
def shown(*, verbose: bool) -> Iterator[Progress]:
    """Yield what tells standard error; nothing in a pipe unless `verbose`."""
    progress = Shown(sys.stderr, verbose=verbose)
    try:
        yield progress
    finally:
        progress.end()
