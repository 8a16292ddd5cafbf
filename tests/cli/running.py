"""Run the program as its users do, in this process: a start costs more than a test."""

import gc
import io
import os
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

from buildsite.cli import main


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command left behind. The streams are kept apart, as a shell keeps them."""

    status: int
    out: str
    err: str


def run(*words: str | Path, stdin: bytes = b"") -> Ran:
    """
    Run one command, from its words to its exit status.

    It finds a machine of one processor, unless its words say otherwise: to fork this
    process takes longer than to build a small archive.
    """
    out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8", newline="") for _ in "oe")
    given = io.TextIOWrapper(io.BytesIO(stdin), "utf-8")
    status: object = 0
    with (
        patch.object(sys, "argv", ["buildsite", *map(str, words)]),
        patch.object(sys, "stdin", given),
        patch.object(os, "cpu_count", lambda: 1),
        patch.object(os, "sched_getaffinity", lambda _: {0}, create=True),
        redirect_stdout(out),
        redirect_stderr(err),
    ):
        try:
            main()
        except SystemExit as end:
            status = end.code or 0
        finally:
            gc.enable()  # which main() leaves to the end of its process
    assert isinstance(status, int)
    texts = []
    for stream in (out, err):
        stream.seek(0)
        texts.append(stream.read())
    return Ran(status, *texts)
