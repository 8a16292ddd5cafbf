"""Rules across records say of tests that share a key what they say of all at once."""

import random
from collections.abc import Iterator
from datetime import date

import pytest

from buildsite.archive.keys_across import SORTS, doubts_of, keys_of, part_of
from buildsite.kinds import across
from buildsite.kinds.traces import ContainerUse, MoldUse, OnFill, Trace

Chance = random.Random


def drawn(chance: Chance, number: int) -> Trace:
    """A trace of few molds, containers and readings, so that many are alike."""
    id = f"T-{number:03d}"
    on = date(2026, 1, 1 + chance.randrange(5))
    mass = chance.choice((4.0, 4.001, 4.02))
    mold = MoldUse(f"M-{chance.randrange(3)}", on, mass, 0.001, "base", str(mass), ())
    cans = tuple(
        ContainerUse(
            str(label), on, 0.1 + chance.randrange(9) / 1000, 1e-5, "can", (i,)
        )
        for i, label in enumerate(chance.sample(range(6), 2))
    )
    lines = tuple(((i,), (str(chance.randrange(9)), "a line")) for i in range(2))
    file = f"records/p{number % 3}/tests/{id}.yaml"
    return Trace(file, id, (mold,), lines, on=on, containers=cans, fill=fill(chance))


def fill(chance: Chance) -> OnFill | None:
    """A field test, a paper, or neither."""
    project, lift = chance.choice(("p0", "p1")), chance.choice(("1", "2"))
    kind = chance.randrange(3)
    if kind == 0:
        place = chance.choice(("12+00", "13+00"))
        return OnFill(project, "A", lift, place=place, purpose="acceptance")
    if kind == 1:
        of = chance.choice((lift, ""))  # an acceptance, or the report of a day
        return OnFill(project, "A", of, lists=("T-001",), field=("tests",))
    return None


def by_key(traces: list[Trace]) -> Iterator[tuple[str, str, str]]:
    keys = sorted(set().union(*map(keys_of, traces)))
    for key in keys:
        if key[0] in SORTS:
            some = [trace for trace in traces if key in keys_of(trace)]
            for name, file, doubt in doubts_of(key, some):
                yield name, file, repr(doubt)


@pytest.mark.parametrize("seed", range(8))
def test_what_is_said_by_keys_is_what_is_said_of_all(seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311 - the same each time
    traces = [drawn(chance, number) for number in range(80)]

    whole = [(a.flag, file, repr(doubt)) for a, file, doubt in across.doubts(traces)]

    assert sorted(by_key(traces)) == sorted(whole)
    assert {name for name, _, _ in whole} == {known.flag for known, _ in across.ACROSS}


def test_a_part_has_what_is_compared_under_its_key_alone() -> None:
    trace = drawn(random.Random(1), 1)  # noqa: S311 - the same each time
    (mold,) = trace.molds

    part = part_of(trace, ("mold", mold.mold, "base"))

    assert (part.molds, part.containers, part.readings) == ((mold,), (), ())
    assert part_of(trace, ("mold", "another", "base")).molds == ()
