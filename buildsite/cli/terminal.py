"""The terminal of `enter`: lines in, lines out, and the signals of a lost line."""

import os
import shutil
import signal
import sys
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType

import click

from buildsite.cli.common import at_terminal
from buildsite.entering.messages import AskFor, ascii_text
from buildsite.entering.session import Stopped

WIDEST = 60
"""Longest line, readable over SSH on any screen."""


class Terminal:
    """Lines in, lines out; no screen is taken over."""

    def __init__(self, options: dict[str, str | None]) -> None:
        self.options = options
        self.width = min(WIDEST, shutil.get_terminal_size((WIDEST, 24)).columns)
        encoding = (getattr(sys.stderr, "encoding", "") or "").lower()
        self.gone = self.waiting = False
        self.plain = "utf" not in encoding or os.environ.get("TERM") == "dumb"

    def say(self, lines: tuple[str, ...]) -> None:
        """Write lines, none wider than the screen, if anybody is still there."""
        with suppress(OSError):
            for line in lines:
                click.echo("\n".join(self.folded(line)), err=True)

    def folded(self, line: str) -> list[str]:
        """Wrap a line that is too long, with its indent."""
        text = ascii_text(line) if self.plain else line
        if len(text) <= self.width:
            return [text]
        indent = " " * (len(text) - len(text.lstrip()))
        return textwrap.wrap(
            text.strip(),
            self.width,
            initial_indent=indent,
            subsequent_indent=f"{indent}  ",
            break_on_hyphens=False,
        )

    def ask(self, ask: AskFor) -> str:
        """
        Ask one question and read one line.

        Raises
        ------
        Stopped
            At the end of the input, at Ctrl-C, and when the line hangs up.
        """
        if self.options.get(ask.option):
            return str(self.options[ask.option])
        *above, last = self.folded(ask.prompt)
        self.say(tuple(above))
        line = ""
        with suppress(Gone, OSError), self.listening():
            click.echo(f"{last.rstrip()} ", err=True, nl=False)
            line = sys.stdin.readline()
        if not line.endswith("\n") or not at_terminal():
            self.say((line.strip(),))  # an answer from a pipe, on the prompt's line
        if not line:
            raise Stopped
        return line.strip()

    @contextmanager
    def listening(self) -> Iterator[None]:
        """Let a signal end only the wait for a line."""
        if self.gone:
            raise Gone
        self.waiting = True
        try:
            yield
        finally:
            self.waiting = False

    def left(self, number: int, frame: FrameType | None) -> None:
        """Record that the person is gone: by Ctrl-C, a lost line, or a kill."""
        self.gone = True
        if self.waiting:
            self.waiting = False  # a second signal would end more than the wait
            raise Gone

    @contextmanager
    def hang_up_heard(self) -> Iterator[None]:
        """Treat a lost line as a wish to stop: what was typed is committed."""
        names = ("SIGINT", "SIGHUP", "SIGTERM")
        heard = [getattr(signal, name) for name in names if hasattr(signal, name)]
        before = [(each, signal.signal(each, self.left)) for each in heard]
        try:
            yield
        finally:
            for each, handler in before:
                signal.signal(each, handler)


class Gone(Exception):
    """A signal came while a line was awaited."""
