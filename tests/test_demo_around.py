"""
The demo's tests around the curve: as the script makes them, and near what is true.

Truth is what `tests/demo/around.py` states of a soil; each tolerance follows from the
noise that it adds, three standard deviations of it.
"""

from datetime import date

import pytest

from buildsite.archive.archive import Archive
from buildsite.kinds.outcome import Outcome
from tests.archives import demo
from tests.demo.around import (
    CLOTH_NOISE,
    COARSE,
    IN_WATER_NOISE,
    SHARE_NOISE,
    WATERS,
    Coarse,
    Weighed,
)
from tests.demo.bench import WATER_NOISE


@pytest.fixture(scope="module")
def archive() -> Archive:
    return demo()


def outcome(archive: Archive, file: str) -> Outcome:
    found = archive.outcome(file)
    assert found is not None, archive.flags(file)
    return found


@pytest.mark.parametrize("test", [*WATERS, *COARSE], ids=lambda test: test.id)
def test_nothing_stands_against_them(archive: Archive, test: Weighed | Coarse) -> None:
    assert [str(flag) for flag in archive.flags(test.file)] == []


@pytest.mark.parametrize("test", [*WATERS, *COARSE], ids=lambda test: test.id)
def test_work_is_done_on_working_days(archive: Archive, test: Weighed | Coarse) -> None:
    record = outcome(archive, test.file).case.record

    for act in (record.tested, record.dried, record.reviewed):
        assert date.weekday(act.on) < 5


@pytest.mark.parametrize("test", WATERS, ids=lambda test: test.id)
def test_a_water_content_is_the_soils(archive: Archive, test: Weighed) -> None:
    found = outcome(archive, test.file).results["water_content"].value

    noise = WATER_NOISE / len(test.containers) ** 0.5
    assert found == pytest.approx(test.water, abs=3 * noise)


@pytest.mark.parametrize("test", COARSE, ids=lambda test: test.id)
def test_a_coarse_fraction_is_the_soils(archive: Archive, test: Coarse) -> None:
    results = outcome(archive, test.file).results
    (size,) = [one for one in test.sizes if one.sieve == test.sieve]
    # Shares move together: those of the rest change the whole by less than their own.
    share = size.share * SHARE_NOISE * 2**0.5
    # 5 g, half the last place of the platform balance, on each side; water 0.15 points.
    mass = size.share * (0.005 / (test.whole / 1000 * size.share / 100))
    water = size.share * WATER_NOISE / 100
    dry = test.whole * size.share / 100

    retained = results["percent_retained"].value
    assert retained == pytest.approx(size.share, abs=3 * (share + mass + water))
    found = results["oversize_water_content"].value
    assert found == pytest.approx(size.water, abs=3 * WATER_NOISE)
    # B - C is the volume: of the cloth's noise, and of the balance under water.
    volume = dry / test.bulk
    apart = ((dry * CLOTH_NOISE / 100) ** 2 + IN_WATER_NOISE**2) ** 0.5 / volume
    bulk = results["bulk_specific_gravity"].value
    assert bulk == pytest.approx(test.bulk, rel=3 * apart)
    absorbed = results["absorption"].value
    assert absorbed == pytest.approx(test.absorption, abs=3 * CLOTH_NOISE)


def test_a_sample_takes_its_oversize_from_the_test(archive: Archive) -> None:
    (coarse,) = COARSE
    told = outcome(archive, coarse.file).results

    compacted = outcome(archive, "records/alder-quay/tests/AQ-0006.yaml")

    oversize = compacted.case.values.oversize
    assert oversize.source == coarse.id
    assert f"{oversize.percent_retained} %" == told["percent_retained"].reported
    assert coarse.file in compacted.inputs
