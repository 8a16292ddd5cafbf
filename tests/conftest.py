"""What holds for every test: nothing is timed, in CI nothing is skipped."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("untimed")

ROOT = Path(__file__).parents[1]
IN_CI = os.environ.get("CI") == "true"
collect_ignore = ["benchmarks/naive.py"]  # its heavy imports, for no test


def pytest_sessionfinish(session: pytest.Session) -> None:
    """In CI a skipped test is a failed one: something it needs was not installed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if IN_CI and reporter is not None and reporter.stats.get("skipped"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
        reporter.write_line("\nskipped in CI, hence failed", red=True)


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo archive's site, built as a laboratory does."""
    out = tmp_path_factory.mktemp("demo") / "site"
    build = "from buildsite.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", build, "build", "--root", ROOT, "--out", out],
        cwd=out.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return out
