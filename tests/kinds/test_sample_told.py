"""A sample and the test that tells it what it holds do not turn in a circle."""

import pytest

from buildsite.archive.archive import Archive
from buildsite.kinds.answers import SampleFacts
from tests.archives import sound

GRAVITY = ("specific-gravity", "GS-S1", "GS-1", "specific_gravity")
OVERSIZE = ("coarse-fraction", "ML-S2", "ML-104", "oversize")


def archive(beside: str, sample: str, test: str, field: str) -> Archive:
    """The sound archive, its sample taking a value from its own test."""
    files = dict(sound((beside,)))
    name = f"records/marsh-lane/samples/{sample}.yaml"
    kept = [
        line
        for line in files[name].decode().splitlines(keepends=True)
        if not line.startswith(f"{field}:")
    ]
    files[name] = ("".join(kept) + f"{field}: {{test: {test}}}\n").encode()
    return Archive(sorted(files), files.__getitem__)


@pytest.mark.parametrize(("beside", "sample", "test", "field"), [GRAVITY, OVERSIZE])
def test_a_sample_is_told_by_its_own_test(
    beside: str, sample: str, test: str, field: str
) -> None:
    found = archive(beside, sample, test, field)
    asked, told = (
        f"records/marsh-lane/{place}"
        for place in (f"tests/{test}.yaml", f"samples/{sample}.yaml")
    )

    for file in (asked, told):
        raised = {flag.flag for flag in found.flags(file)}
        assert not raised & {"reference-cycle", "reference-without-answer"}
    made = found.outcome(asked)
    assert made is not None
    facts = made.case.inputs.get(SampleFacts, sample)
    assert facts is not None
    # The test is told what its sample is, and nothing that tests find of it.
    assert facts.soil_name
    assert getattr(facts, field) is None
    assert getattr(facts, f"{field}_test") == ""
    assert list(made.inputs).count(told) == 1


@pytest.mark.parametrize(("beside", "sample", "test", "field"), [GRAVITY, OVERSIZE])
def test_a_result_written_on_the_sample_moves_not_the_test(
    beside: str, sample: str, test: str, field: str
) -> None:
    file = f"records/marsh-lane/tests/{test}.yaml"
    files = sound((beside,))

    before = Archive(sorted(files), files.__getitem__).outcome(file)
    after = archive(beside, sample, test, field).outcome(file)

    assert before is not None
    assert after is not None
    assert before.used == after.used


def test_a_compaction_test_is_told_by_way_of_its_sample() -> None:
    found = archive(*OVERSIZE)

    made = found.outcome("records/marsh-lane/tests/ML-102.yaml")

    assert made is not None
    assert made.case.values.oversize.source == "ML-104"
    assert "records/marsh-lane/tests/ML-104.yaml" in made.inputs
