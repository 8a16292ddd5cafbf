"""A laboratory whose bench is a clone, for the commands of the bench."""

from pathlib import Path

import pytest

from tests.archives import sound
from tests.clones import clone, git
from tests.entering.session import SEPARATE, begun


@pytest.fixture
def lab(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A clone of the sound archive, with a test of which two points are compacted."""
    for name in ("GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM"):
        monkeypatch.setenv(name, "/dev/null")
    clone(tmp_path, {**sound(), SEPARATE: begun(2).encode()})
    git(tmp_path, "config", "user.name", "Bench")
    git(tmp_path, "config", "user.email", "bench@lab.example")
    return tmp_path
