"""The example that draws at random takes most of the time of all: drawn once here."""

import json
from collections.abc import Iterator
from unittest.mock import patch

import pytest

from buildsite.validation.comparison import RECOMPUTE
from buildsite.validation.examples import Example, Recomputed


@pytest.fixture(scope="session", autouse=True)
def drawn_once() -> Iterator[None]:
    """The numbers drawn have a fixed seed: of the same record, they are the same."""
    known: dict[str, Recomputed] = {}
    draw = RECOMPUTE["j02"]

    def drawn(example: Example) -> Recomputed:
        asked = json.dumps(example.tree, default=str)
        if asked not in known:
            known[asked] = draw(example)
        return known[asked]

    with patch.dict(RECOMPUTE, j02=drawn):
        yield
