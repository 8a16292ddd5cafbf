"""In CI a skipped test is a failed one."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SKIPS = """
import pytest
def test_done(): pass
def test_left_out(): pytest.skip("no browser here")
"""


@pytest.mark.parametrize(
    ("ci", "status", "processes"), [("true", 1, "0"), ("true", 1, "2"), ("", 0, "0")]
)
def test_a_skip_fails_the_run_in_ci_alone(
    tmp_path: Path, ci: str, status: int, processes: str
) -> None:
    conftest = Path(__file__).with_name("conftest.py").read_text("utf-8")
    (tmp_path / "conftest.py").write_text(conftest, "utf-8")
    (tmp_path / "test_it.py").write_text(SKIPS, "utf-8")

    # With a folder of its own, it does not look through those of earlier runs.
    own = ("--basetemp", tmp_path / "own", "--numprocesses", processes)
    words = ("-q", "-p", "no:cacheprovider", *own, tmp_path)
    run = subprocess.run(
        [sys.executable, "-m", "pytest", *words],
        cwd=tmp_path,
        env={k: v for k, v in os.environ.items() if not k.startswith("PYTEST_")}
        | {"CI": ci},
        capture_output=True,
        text=True,
        check=False,
    )

    assert run.returncode == status, run.stdout
    assert "1 passed, 1 skipped" in run.stdout
