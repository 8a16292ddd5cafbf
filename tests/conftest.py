"""What holds for every test: nothing is timed, in CI nothing is skipped."""

import fcntl
import gc
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("untimed")

# The program is started hundreds of times: compiled anew each time, half of it is that.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

ROOT = Path(__file__).parents[1]
MEMORY = Path("/dev/shm")  # noqa: S108  (pytest makes a folder of its own there)
ROOM = 4 << 30
"""Bytes that must be free there: several times what a whole run writes."""


def memory_has_room() -> bool:
    """Whether there are files in memory here, programs among them, and room for all."""
    if not os.access(MEMORY, os.W_OK):
        return False
    found = os.statvfs(MEMORY)
    return found.f_bavail * found.f_frsize > ROOM and not found.f_flag & os.ST_NOEXEC


# A run writes, and takes away, fifty thousand small files: on a disk it waits for them.
if "TMPDIR" not in os.environ and memory_has_room():
    os.environ["TMPDIR"] = str(MEMORY)
    tempfile.tempdir = None  # to be asked for again

IN_CI = os.environ.get("CI") == "true"
collect_ignore = ["benchmarks/naive.py"]  # its heavy imports, for no test


def pytest_collection_finish() -> None:
    """What was imported and collected stays: it is not looked through for garbage."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 50)  # what a test leaves is looked for now and then


def pytest_sessionfinish(session: pytest.Session) -> None:
    """In CI a skipped test is a failed one: something it needs was not installed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if IN_CI and reporter is not None and reporter.stats.get("skipped"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
        reporter.write_line("\nskipped in CI, hence failed", red=True)


@pytest.fixture(scope="session", autouse=True)
def _nothing_waits_for_the_disk() -> Iterator[None]:
    """No test takes the power from the machine: what is written need not be on it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", lambda _: None)
        yield


@pytest.fixture(scope="session")
def pango() -> str:
    """The versions that draw a PDF here; a test that draws one asks for it."""
    from buildsite.errors import EnvironmentFault
    from buildsite.issuing.report_pdf import drawn_here_by

    try:
        return drawn_here_by()
    except EnvironmentFault as fault:
        pytest.skip(str(fault))


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all processes of one run of the tests have in common."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


def made_once(shared: Path, name: str, make: Callable[[Path], None]) -> Path:
    """
    What many tests read and none writes to, made once for all processes of a run.

    `make` is given the path to make. Of one that it left half made nothing is taken.
    """
    out, begun = shared / name, shared / f"{name}.begun"
    with (shared / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # another process may be making it
        if not out.exists():
            shutil.rmtree(begun, ignore_errors=True)
            make(begun)
            begun.rename(out)
    return out


@pytest.fixture(scope="session")
def site(shared: Path) -> Path:
    """
    The demo archive's site, built as a laboratory does, once for the whole run.

    No test may write to it. Where `.ci/run` built it already, it is named.
    """
    if "BUILT_SITE" in os.environ:
        return Path(os.environ["BUILT_SITE"])
    return made_once(shared, "demo", built)


@pytest.fixture(scope="session")
def released(shared: Path) -> Path:
    """The demo archive's site as clients have it, as `site` is made and named."""
    if "BUILT_RELEASE" in os.environ:
        return Path(os.environ["BUILT_RELEASE"])
    return made_once(shared, "released", lambda out: built(out, "--release"))


def built(out: Path, *options: str) -> None:
    """Build the demo archive's site in a process of its own."""
    build = "from buildsite.cli import main; main()"
    words = ("build", "--root", str(ROOT), "--out", str(out), *options)
    done = subprocess.run(
        [sys.executable, "-c", build, *words],
        cwd=out.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
