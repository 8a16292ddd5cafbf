"""Tests far from their neighbors: another soil is told, scatter is not."""

from random import Random

from buildsite.kinds.neighbors import Found, Neighbor, doubts

KEY = ("heron-flats", "embankment", "HF-0117")


def series(values: list[float], key: tuple[str, ...] = KEY) -> list[Found]:
    return [
        Found(f"F{i:03}", f"F{i:03}.yaml", Neighbor(key, (f"{i:03}",), value, ()))
        for i, value in enumerate(values)
    ]


def told(values: list[float]) -> list[str]:
    return [file for _, file, _ in doubts(series(values))]


def scatter(seed: int, many: int, deviation: float) -> list[float]:
    chance = Random(seed)  # noqa: S311  # a seed for trials, no secret
    return [chance.gauss(97.5, deviation) for _ in range(many)]


def test_scatter_of_one_soil_is_seldom_told() -> None:
    # Compaction of one soil scatters by some 2 points (common practice): at most one
    # sound test in a hundred may be told.
    found = [name for seed in range(50) for name in told(scatter(seed, 60, 2.0))]

    assert len(found) <= 30


def test_another_soil_is_told() -> None:
    for seed in range(50):
        values = scatter(seed, 21, 1.5)
        values[10] += 15
        assert "F010.yaml" in told(values)


def test_few_neighbors_say_nothing() -> None:
    assert told([97.0, 97.5, 98.0, 97.2, 112.0]) == []


def test_only_tests_on_one_reference_are_compared() -> None:
    one = series([97.0, 97.5, 98.0, 97.2, 97.7])
    other = series([112.0], ("heron-flats", "embankment", "HF-0118"))

    assert [*doubts([*one, *other])] == []
