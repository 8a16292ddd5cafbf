"""What holds for every test: in CI nothing is skipped, and the demo is built once."""

import os
from pathlib import Path

import pytest

IN_CI = os.environ.get("CI") == "true"


def pytest_sessionfinish(session: pytest.Session) -> None:
    """In CI a skipped test is a failed one: something it needs was not installed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if IN_CI and reporter is not None and reporter.stats.get("skipped"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
        reporter.write_line("\nskipped in CI, hence failed", red=True)
