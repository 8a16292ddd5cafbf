"""Work in chunks: every item once, and results in the order asked."""

from collections.abc import Callable

import pytest

from buildsite.workers import CHUNK, LEAST, chunks, workers


def test_chunks_hold_every_item_once_in_order() -> None:
    items = list(range(2 * CHUNK + 1))

    found = chunks(items)

    assert [len(chunk) for chunk in found] == [CHUNK, CHUNK, 1]
    assert [item for chunk in found for item in chunk] == items
    assert chunks([]) == []


@pytest.mark.parametrize("jobs", [2, 3])
@pytest.mark.parametrize("number", [0, 1, 26, 301])
def test_the_last_chunks_are_small(jobs: int, number: int) -> None:
    found = chunks(range(number), jobs)

    assert [item for chunk in found for item in chunk] == list(range(number))
    sizes = [len(chunk) for chunk in found]
    assert sizes == sorted(sizes, reverse=True)
    assert not sizes or (sizes[0] <= CHUNK and sizes[-1] <= LEAST)


def begin(given: str) -> None:
    assert given == "what they share"


def doubled(number: int) -> int:
    return 2 * number


@pytest.mark.parametrize("jobs", [1, 2])
def test_workers_answer_in_the_order_asked(jobs: int) -> None:
    with workers(jobs, begin, "what they share") as each:
        assert list(each(doubled, range(40))) == list(range(0, 80, 2))


_NUMBERS: list[Callable[[int], int]] = []


def hold(given: Callable[[int], int]) -> None:
    _NUMBERS[:] = [given]


def asked(number: int) -> int:
    return _NUMBERS[0](number)


@pytest.mark.parametrize("jobs", [1, 2])
def test_workers_inherit_what_cannot_be_sent(jobs: int) -> None:
    def tripled(number: int) -> int:  # local, so that pickle refuses it
        return 3 * number

    with workers(jobs, hold, tripled, inherit=True) as each:
        assert list(each(asked, range(40))) == list(range(0, 120, 3))
