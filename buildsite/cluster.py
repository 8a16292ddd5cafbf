"""
The processes of a build on several machines, by a scheduler of Dask's `distributed`.

The same functions work on the same chunks as in the processes of one machine. Pages do
not travel: workers write them into the folder beside the site, which all machines
share, and return rows and digests. A worker that dies costs its chunk, which another
one makes again.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from threading import Lock
from typing import Any, TypeVar

from buildsite.errors import EnvironmentFault
from buildsite.software import fingerprint
from buildsite.workers import ChunkMap

J = TypeVar("J")
M = TypeVar("M")

AHEAD = 2
"""Chunks in hand for each worker, so that none waits and memory stays flat."""

PATIENCE = "30s"
"""How long a scheduler is waited for."""

_ONE = Lock()
"""A process works on one chunk at a time, whatever threads its worker has."""

_BEGUN: list[str] = []
"""The build that this process was started for."""


def refuse_without_library() -> None:
    """Refuse a build on other machines where the library for it is not installed."""
    if find_spec("distributed") is None:
        raise EnvironmentFault(
            "Building on a scheduler needs `distributed`, which is not installed.",
            "Install it here and on every worker, in one version: `pip install "
            "'buildsite[cluster]'`.",
        )


@contextmanager
def scheduled(
    address: str, start: Callable[[Any], None], inputs: Any, name: str
) -> Iterator[ChunkMap]:
    """
    Yield a `map` over chunks on the workers of a scheduler.

    Parameters
    ----------
    address
        Of the scheduler, such as `tcp://10.0.0.5:8786`.
    start
        Called with `inputs` once in each worker, before its first chunk.
    name
        Of this build: a worker that served another one starts anew.

    Raises
    ------
    EnvironmentFault
        If the scheduler does not answer, has no workers, or a worker has another
        program.
    """
    refuse_without_library()
    from distributed import Client

    connect: Any = Client  # the library says the types of some of its calls only
    try:
        client = connect(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        raise EnvironmentFault(
            f"No scheduler answers at {address}: {error}.",
            "Start one (`dask scheduler`) and its workers, and name its address.",
        ) from error
    with client:
        try:
            client.wait_for_workers(1, timeout=PATIENCE)
        except TimeoutError as error:
            raise EnvironmentFault(
                f"The scheduler at {address} has no workers.",
                f"Start some: `dask worker {address} --nthreads 1`.",
            ) from error
        count = len(client.scheduler_info(n_workers=-1)["workers"])
        given = client.scatter(inputs, broadcast=True, hash=False)
        executor = client.get_executor(pure=False)

        def each(work: Callable[[J], M], pieces: Iterable[J], /) -> Iterator[M]:
            waiting: deque[Any] = deque()
            for piece in pieces:
                task = (work, piece, start, given, name, fingerprint())
                waiting.append(executor.submit(work_on, *task))
                if len(waiting) > AHEAD * count:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()

        yield each


def work_on(
    work: Callable[[J], M],
    piece: J,
    start: Callable[[Any], None],
    inputs: Any,
    name: str,
    program: str,
) -> M:
    """Do one chunk in a worker, which is started for this build if it was not yet."""
    with _ONE:
        if fingerprint() != program:
            raise EnvironmentFault(
                f"A worker has a program with fingerprint {fingerprint()}; the build's "
                f"is {program}.",
                "Install the same program and lock file on every machine.",
            )
        if name not in _BEGUN:
            start(inputs)
            _BEGUN[:] = [name]
        return work(piece)
