"""Work in chunks: every item once, and results in the order asked."""

import pytest

from buildsite.workers import CHUNK, chunks, workers


def test_chunks_hold_every_item_once_in_order() -> None:
    items = list(range(2 * CHUNK + 1))

    found = chunks(items)

    assert [len(chunk) for chunk in found] == [CHUNK, CHUNK, 1]
    assert [item for chunk in found for item in chunk] == items
    assert chunks([]) == []


def begin(given: str) -> None:
    assert given == "what they share"


def doubled(number: int) -> int:
    return 2 * number


@pytest.mark.parametrize("jobs", [1, 2])
def test_workers_answer_in_the_order_asked(jobs: int) -> None:
    with workers(jobs, begin, "what they share") as each:
        assert list(each(doubled, range(40))) == list(range(0, 80, 2))
