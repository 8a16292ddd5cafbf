"""A `map` over chunks of work, in this process or in several."""

import sys
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from signal import SIG_IGN, SIGINT, signal
from typing import TYPE_CHECKING, Protocol, TypeVar

if TYPE_CHECKING:
    from concurrent.futures import Future

CHUNK = 25
"""Items handed to a worker at once."""

LEAST = 4
"""Items of the last chunks, while which some processes have nothing left to do."""

AHEAD = 2
"""Chunks a worker may be ahead of the reader, so that memory stays flat."""

G = TypeVar("G")
J = TypeVar("J")
M = TypeVar("M")


class ChunkMap(Protocol):
    """A `map` over chunks whose results come in the order of the chunks."""

    def __call__(
        self, work: Callable[[J], M], pieces: Iterable[J], /
    ) -> Iterator[M]: ...


def map_here(work: Callable[[J], M], pieces: Iterable[J], /) -> Iterator[M]:
    """Do the work in this process."""
    yield from map(work, pieces)


@contextmanager
def workers(
    jobs: int, start: Callable[[G], None], inputs: G, *, inherit: bool = False
) -> Iterator[ChunkMap]:
    """
    Yield a `map` whose results come in the order of the chunks.

    `start(inputs)` is called once in each process, before its work. With one job there
    is no pool: the same code, and no processes to debug. To `inherit` inputs, which are
    large or can't be sent, processes are forked from this one; where that isn't safe,
    there are none.
    """
    if jobs == 1 or (inherit and sys.platform != "linux"):
        start(inputs)
        yield map_here
        return
    # Late: a build of few tests starts no process.
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import active_children, get_context

    with ProcessPoolExecutor(
        jobs,
        get_context("fork" if inherit else None),
        initializer=begin,
        initargs=(start, inputs),
    ) as pool:

        def each(work: Callable[[J], M], pieces: Iterable[J], /) -> Iterator[M]:
            waiting: deque[Future[M]] = deque()
            for piece in pieces:
                waiting.append(pool.submit(work, piece))
                if len(waiting) > AHEAD * jobs:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()

        try:
            yield each
        except BaseException:  # Ctrl-C, or a fault: nobody waits for the others
            for child in active_children():
                child.kill()
            raise


def begin(start: Callable[[G], None], inputs: G) -> None:
    """Begin a worker. Ctrl-C reaches all processes, and the first one ends them."""
    signal(SIGINT, SIG_IGN)
    start(inputs)


def chunks(items: Sequence[J], jobs: int = 1) -> list[Sequence[J]]:
    """
    Cut a list into pieces for the workers; the last are small, so that nobody waits.

    >>> [len(chunk) for chunk in chunks(range(110), 2)]
    [25, 22, 16, 12, 9, 7, 5, 4, 4, 4, 2]
    """
    found: list[Sequence[J]] = []
    at = 0
    while at < len(items):
        share = -(-(len(items) - at) // (2 * jobs)) if jobs > 1 else CHUNK
        size = min(CHUNK, max(LEAST, share))
        found.append(items[at : at + size])
        at += size
    return found
