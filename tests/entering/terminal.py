"""A person at a terminal: a pseudo-terminal with the program at its other end."""

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
from collections.abc import Mapping
from pathlib import Path

from tests.clones import WHO

PROGRAM = (
    "import sys; sys.argv[0] = 'buildsite'; from buildsite.cli import main; main()"
)
PATIENCE = 120
"""Seconds after which what was waited for is taken not to come."""


class Person:
    """Types lines, and sees what a screen of so many columns shows."""

    program = PROGRAM

    def __init__(self, root: Path, *words: str, columns: int = 80, **more: str) -> None:
        self.seen, self.spot = "", 0
        env = self._environment(more)
        self.pid, self.line = pty.fork()
        if self.pid == 0:  # the program, until it is replaced
            os.chdir(root)
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
            os.execve(  # noqa: S606 — the program itself, in a terminal of its own
                sys.executable, [sys.executable, "-c", self.program, *words], env
            )

    def _environment(self, more: Mapping[str, str]) -> dict[str, str]:
        kept = {k: v for k, v in os.environ.items() if not k.startswith("GIT_")}
        kept.pop("COLUMNS", None)
        home = str(Path(__file__).parents[2])
        return {**kept, **WHO, "PYTHONPATH": home, "TERM": "xterm", **more}

    def waits_for(self, text: str) -> None:
        """See the screen until it shows a text, behind the one waited for before."""
        while (spot := self.seen.find(text, self.spot)) < 0:
            if not self._look(text):
                raise AssertionError(f"no {text!r} in:\n{self.seen[self.spot :]}")
        self.spot = spot + len(text)

    def _look(self, wanted: str) -> bool:
        ready, _, _ = select.select([self.line], [], [], PATIENCE)
        if not ready:  # it may be waiting for an answer
            seen = self.seen[self.spot :]
            raise AssertionError(f"{wanted!r} did not come in {PATIENCE} s:\n{seen}")
        try:
            data = os.read(self.line, 4096)
        except OSError:  # the program has gone
            return False
        self.seen += data.decode()
        return bool(data)

    def types(self, line: str) -> None:
        os.write(self.line, f"{line}\n".encode())

    def presses(self, key: str) -> None:
        os.write(self.line, key.encode())

    def hangs_up(self) -> int:
        """Lose the line; give how the program ended."""
        os.close(self.line)
        return self._ended()

    def kills(self) -> None:
        """Take the power away from the program."""
        os.kill(self.pid, signal.SIGKILL)
        self._ended()
        os.close(self.line)

    def ends(self) -> int:
        """See the rest of the screen; give the exit status."""
        while self._look("the end"):
            pass
        os.close(self.line)
        return self._ended()

    def _ended(self) -> int:
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])
