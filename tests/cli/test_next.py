"""`next` as a person calls it at the bench."""

import json
from pathlib import Path

import pytest

from tests.archives import sound
from tests.cli.running import run
from tests.clones import write
from tests.entering.session import REUSED, begun


@pytest.fixture
def lab(tmp_path: Path) -> Path:
    return write(tmp_path, {**sound(), REUSED: begun(3, REUSED).encode()})


def test_it_says_how_the_test_stands_and_the_water_to_add(lab: Path) -> None:
    # The pan in the unit of the record: 6 lb × 453.59237 = 2721.6 g at about 17.4 %,
    # 2318 g dry; each point takes a hundredth of that, 1.5 points about 35 mL.
    done = run("next", "ML-101", "--pan", "6", "--root", lab)

    assert done.status == 0
    assert "The wet mass still rose at point 3: continue the series." in done.out
    assert "Water to add: 35 mL, to 2.72 kg of soil (weighed now)" in done.out


def test_the_same_as_json(lab: Path) -> None:
    done = run("next", "ML-101", "--json", "--root", lab)

    assert json.loads(done.out)["side"] == "dry"


def test_a_test_that_cannot_be_read_says_why(lab: Path) -> None:
    (lab / REUSED).write_text("kind: moisture-density\n")

    done = run("next", "ML-101", "--root", lab)

    assert done.status == 1
    assert "missing-field" in done.err


def test_a_decimal_comma_is_explained(lab: Path) -> None:
    done = run("next", "ML-101", "--pan", "6,5", "--root", lab)

    assert done.status == 2
    assert "'6,5' is not a number. Write a decimal point: 6.5." in done.err
