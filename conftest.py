"""Which files are searched for examples: a hook of a folder's own sees no other one."""

from collections.abc import Generator
from pathlib import Path

import pytest
from _pytest.doctest import DoctestModule

Collected = list[pytest.Collector]


@pytest.hookimpl(wrapper=True)
def pytest_collect_file(file_path: Path) -> Generator[None, Collected, Collected]:
    """
    Search no file for examples that has none, nor those of tests.

    To search them all takes a second, in each process of a run.
    """
    found = yield
    if file_path.name.startswith("test_") or b">>>" not in file_path.read_bytes():
        return [one for one in found if not isinstance(one, DoctestModule)]
    return found
