"""A build on the workers of a scheduler gives the same bytes, though one is killed."""

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import TypeVar

import pytest

from buildsite import cluster as cluster_module
from buildsite import workers
from buildsite.build import build
from buildsite.errors import EnvironmentFault
from buildsite.pages.site_sources import Options
from buildsite.progress import Progress
from tests.benchmarks.archive import make_archive
from tests.test_shards import contents

pytestmark = pytest.mark.skipif(
    find_spec("distributed") is None, reason="Dask's distributed is not installed"
)

T = TypeVar("T")

ROOT = Path(__file__).parents[1]
ONE_TASK = "import sys; from dask.__main__ import main; main()"


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Tests with edits; no test writes to it."""
    root = tmp_path_factory.mktemp("archive") / "lab"
    make_archive(root, 20, "edits")
    return root


@contextmanager
def running(folder: Path, *words: str) -> Iterator[subprocess.Popen[bytes]]:
    """Run a part of a cluster on this machine, and end it."""
    log = (folder / f"{words[0]}-{len([*folder.glob('*.log')])}.log").open("wb")
    kept = {**os.environ, "PYTHONPATH": str(ROOT)}
    program = [sys.executable, "-W", "ignore", "-c", ONE_TASK, *words]
    with log, subprocess.Popen(program, cwd=folder, env=kept, stderr=log) as process:
        try:
            yield process
        finally:
            process.kill()


@contextmanager
def cluster(folder: Path) -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """A scheduler on a free port of this machine, and two workers."""
    told = folder / "scheduler.json"
    here = ("--host", "127.0.0.1", "--port", "0", "--no-dashboard")
    with running(folder, "scheduler", *here, "--scheduler-file", str(told)):
        address = address_in(told)
        worker = ("worker", address, "--nthreads", "1", "--no-nanny", "--no-dashboard")
        with running(folder, *worker) as one, running(folder, *worker):
            waited_for(lambda: all(joined(path) for path in workers_of(folder)))
            yield address, one


def workers_of(folder: Path) -> list[Path]:
    """The logs of both workers."""
    return [folder / "worker-1.log", folder / "worker-2.log"]


def joined(log: Path) -> bool:
    """Whether a worker is one of the scheduler's."""
    return log.exists() and "Registered to" in log.read_text("utf-8")


def address_in(told: Path) -> str:
    """The scheduler's address, once it has written it."""
    found = waited_for(
        lambda: (
            re.search(r"tcp://[0-9.:]+", told.read_text()) if told.exists() else None
        )
    )
    return found.group()


def waited_for(look: Callable[[], T | None]) -> T:
    """What a look finds, at last."""
    for _ in range(1200):
        if found := look():
            return found
        time.sleep(0.1)
    raise AssertionError("the cluster did not start")


def test_a_worker_that_is_killed_costs_nothing(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(root, tmp_path / "here", Options(), 1)
    monkeypatch.setattr(workers, "CHUNK", 4)  # five chunks: both have work in hand

    with cluster(tmp_path) as (address, one):
        done = Killing(one)
        build(root, tmp_path / "there", Options(), 1, done, scheduler=address)

    assert done.killed
    assert contents(tmp_path / "there") == contents(tmp_path / "here")


class Killing(Progress):
    """Kills a worker as soon as the first pages are made."""

    def __init__(self, worker: subprocess.Popen[bytes]) -> None:
        self.worker, self.pages, self.killed = worker, False, False

    def stage(self, name: str, of: int = 0) -> None:
        self.pages = name.startswith("making the pages of tests")

    def done(self, number: int = 1) -> None:
        if self.pages and not self.killed:
            self.worker.send_signal(signal.SIGKILL)
            self.worker.wait()
            self.killed = True


def test_where_no_scheduler_answers_nothing_is_built(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster_module, "PATIENCE", "1s")
    with pytest.raises(EnvironmentFault, match="No scheduler answers"):
        build(root, tmp_path / "site", Options(), 1, scheduler="tcp://127.0.0.1:9")

    assert not (tmp_path / "site").exists()
