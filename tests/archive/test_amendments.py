"""An amended report tells what a newer program moves, and not what it only calls."""

from collections.abc import Mapping
from typing import Any

import pytest

from buildsite.archive.amendments import Amendment, amendment
from buildsite.archive.differences import answer_change, as_told
from buildsite.archive.drift import reported
from buildsite.kinds.outcome import Outcome
from buildsite.pages.revisions.marked_changes import changed_results
from tests.archives import archive_of, issued, sound

TEST = "marsh-lane/tests/ML-101"
FILE = f"records/{TEST}.yaml"


def now() -> Outcome:
    made = archive_of(sound()).outcome(FILE)
    assert made is not None
    return made


def amending(results: Mapping[str, str]) -> Amendment:
    """An amended report of a test whose earlier one stated these results."""
    about: dict[str, Any] = {"results": dict(results)}
    chain, faults = archive_of(issued(sound(), TEST, about)).chain(FILE)
    assert chain is not None, faults
    return amendment(chain, chain.items[0], now(), now())


def stating(**changed: str) -> dict[str, str]:
    return {**reported(now()), **changed}


def force() -> str:
    """The reported density, its pounds called pounds of force: the same figure."""
    text = reported(now())["maximum_dry_density"]
    assert text.endswith(" lb/ft3")
    return text.replace("lb/ft3", "lbf/ft3")


RENAMED = "Now reported as dry density; lb/ft³ and lbf/ft³ are numerically equal."


def test_a_unit_that_is_called_otherwise_is_no_other_result() -> None:
    was = stating(maximum_dry_density=force())

    assert amending(was).values == (RENAMED,)
    assert changed_results(was, now()) == {}


def test_beside_it_only_what_has_another_figure_is_told() -> None:
    was = stating(maximum_dry_density=force(), optimum_water_content="17.9 %")

    values = amending(was).values

    assert values[0] == RENAMED
    assert values[1].startswith("earlier readings, computed by the current program: ")
    assert "optimum" in values[1]
    assert "maximum" not in values[1]
    assert list(changed_results(was, now())) == ["optimum_water_content"]


@pytest.mark.parametrize("text", ["107.0 lbf/ft3", "107.0 lb/ft3"])
def test_another_figure_is_told_whatever_its_unit_is_called(text: str) -> None:
    was = stating(maximum_dry_density=text)

    assert "maximum dry density" in amending(was).values[-1]
    assert list(changed_results(was, now())) == ["maximum_dry_density"]


def test_the_same_results_say_nothing() -> None:
    assert amending(stating()).values == ()


def test_a_reference_is_told_as_reported() -> None:
    unrounded = {"maximum_dry_density": 1780.670262, "optimum_water_content": 15.3217}
    old, new = (
        {
            "density_unit": "lb/ft3",
            "peak": {
                **unrounded,
                "reported_density": density,
                "reported_water": "15.3",
            },
        }
        for density in ("111.2", "112.5")
    )
    (told,) = answer_change("HF-0129", as_told("", old), as_told("", new))

    assert told.fields == (
        ("peak, maximum dry density", "111.2 lb/ft³", "112.5 lb/ft³"),
    )
