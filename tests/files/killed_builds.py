"""
Builds of a site that die at their n-th touch of the disk, each in a process of its own.

The touches are seen through the audit hooks of Python (PEP 578): no `finally` runs, as
when the power fails or a job is cancelled. Run as a program, this is the small process
that the others are forked from: to fork that of the tests, which has loaded everything
and does so hundreds of times, costs far more than the build.
"""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from buildsite.files.site import replace_site

ROOT = Path(__file__).parents[2]
KILLED = 9

TOUCHES = {
    "open",
    "os.rename",
    "os.remove",
    "os.mkdir",
    "os.rmdir",
    "os.chmod",
    "os.truncate",
    "shutil.rmtree",
}


class Builder:
    """Asks the small process for builds."""

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        self._process = process

    def killed_at(self, step: int, out: Path, files: dict[str, bytes]) -> bool:
        """Build in a process that dies at a step. False if it was done before that."""
        texts = {name: data.decode() for name, data in files.items()}
        asks, answers = self._process.stdin, self._process.stdout
        assert asks is not None
        assert answers is not None
        print(json.dumps([step, str(out), texts]), file=asks, flush=True)
        code = int(answers.readline())
        assert code in (0, KILLED)
        return code == KILLED


@contextmanager
def builder() -> Iterator[Builder]:
    """Start the small process, and end it."""
    with subprocess.Popen(
        [sys.executable, "-P", __file__],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        yield Builder(process)


def build_until(step: int, out: str, texts: dict[str, str]) -> None:
    """Build in this process, and end it at a step, or when the site is there."""
    left, here = step, str(Path(out).parent)

    def count(event: str, arguments: tuple[Any, ...]) -> None:
        nonlocal left
        if event in TOUCHES and any(here in str(a) for a in arguments):
            left -= 1
            if left < 0:
                os._exit(KILLED)

    sys.addaudithook(count)
    with suppress(BaseException):
        files = [(name, text.encode()) for name, text in texts.items()]
        replace_site(Path(out), lambda stage: (stage.put(*file) for file in files))
        os._exit(0)
    os._exit(1)


def serve() -> None:
    """Fork a process for each line that asks for a build, and tell how it ended."""
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            build_until(*json.loads(line))
        _, status = os.waitpid(child, 0)
        sys.stdout.write(f"{os.waitstatus_to_exitcode(status)}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    serve()
