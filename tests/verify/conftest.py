"""One laboratory is built; every test has a copy of its own to tamper with."""

import shutil
from pathlib import Path

import pytest

from tests.verify.tampering import laboratory


@pytest.fixture(scope="session")
def untouched(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The control, which no test may write to."""
    return laboratory(tmp_path_factory.mktemp("verify") / "lab")


@pytest.fixture
def root(untouched: Path, tmp_path: Path) -> Path:
    """A copy to tamper with, in which nothing was proved before."""
    shutil.copytree(untouched, tmp_path / "lab")
    shutil.rmtree(tmp_path / "lab/.git/buildsite", ignore_errors=True)
    return tmp_path / "lab"
