"""A `map` over chunks of work, in this process or in several."""

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from signal import SIG_IGN, SIGINT, signal
from typing import TYPE_CHECKING, Protocol, TypeVar

if TYPE_CHECKING:
    from concurrent.futures import Future

CHUNK = 25
"""Items handed to a worker at once."""

AHEAD = 2
"""Chunks a worker may be ahead of the reader, so that memory stays flat."""

G = TypeVar("G")
J = TypeVar("J")
M = TypeVar("M")


class ChunkMap(Protocol):
    """A `map` over chunks whose results come in the order of the chunks."""

    def __call__(
        self, work: Callable[[J], M], pieces: Sequence[J], /
    ) -> Iterator[M]: ...


def map_here(work: Callable[[J], M], pieces: Sequence[J], /) -> Iterator[M]:
    """Do the work in this process."""
    yield from map(work, pieces)


@contextmanager
def workers(jobs: int, start: Callable[[G], None], inputs: G) -> Iterator[ChunkMap]:
    """
    Yield a `map` whose results come in the order of the chunks.

    `start(inputs)` is called once in each process, before its work. With one job there
    is no pool: the same code, and no processes to debug.
    """
    if jobs == 1:
        start(inputs)
        yield map_here
        return
    # Late: a build of few tests starts no process.
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import active_children

    with ProcessPoolExecutor(jobs, initializer=begin, initargs=(start, inputs)) as pool:

        def each(work: Callable[[J], M], pieces: Sequence[J], /) -> Iterator[M]:
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


def chunks(items: Sequence[J]) -> list[Sequence[J]]:
    """Cut a list into pieces for the workers."""
    return [items[i : i + CHUNK] for i in range(0, len(items), CHUNK)]
