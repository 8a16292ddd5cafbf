"""From an archive to a site: plan, pool, write. Workers compute; one process writes."""

from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Protocol, TypeVar

from buildsite import software
from buildsite.exports import manifest
from buildsite.files import ArchiveFiles, read_archive, replace_site
from buildsite.history import Checkout, checkout
from buildsite.kinds.across import Trace
from buildsite.pages.archive import Archive, flags_across, survey
from buildsite.pages.options import Options
from buildsite.pages.rows import Made, Row
from buildsite.pages.site import other_files
from buildsite.pages.tests import test_files
from buildsite.record.flags import Flag, Severity

CHUNK = 25
"""Tests handed to a worker at once: small enough to share out, large enough to pay."""

AHEAD = 2
"""Chunks a worker may be ahead of the writer: memory stays flat, whatever the size."""

DIFFERS = "The records were built as they stood, otherwise than last committed."

J = TypeVar("J")
M = TypeVar("M")


@dataclass
class Built:
    """What a build made, and what stands against it."""

    pages: int = 0
    tests: int = 0
    errors: int = 0  # tests said to be complete, and files, with an error
    checkout: Checkout = field(default_factory=lambda: Checkout(None, differs=False))


_WORKER: list[Archive] = []
"""The archive of this process: set once, when a worker starts."""

_OPTIONS: list[Options] = []


def start_worker(
    names: Sequence[str], data: Mapping[str, bytes], options: Options
) -> None:
    """Give a process the bytes of every record. It reads those that it is asked for."""
    _WORKER[:] = [Archive(names, data.__getitem__)]
    _OPTIONS[:] = [options]


def survey_chunk(chunk: Sequence[str]) -> list[Trace]:
    """Read a few tests for what the rules across records compare."""
    return survey(_WORKER[0], chunk)


def make_chunk(chunk: Sequence[tuple[str, tuple[Flag, ...]]]) -> list[Made]:
    """Compute a few tests and lay out their pages. Each goes with its flags across."""
    archive, options = _WORKER[0], _OPTIONS[0]
    archive.across_flags = {**archive.across_flags, **dict(chunk)}
    return [test_files(archive, file, options) for file, _ in chunk]


class Each(Protocol):
    """A `map` over chunks whose results come in the order of the chunks."""

    def __call__(
        self, work: Callable[[J], M], pieces: Sequence[J], /
    ) -> Iterator[M]: ...


def straight(work: Callable[[J], M], pieces: Sequence[J], /) -> Iterator[M]:
    """Do the work here: no processes to debug."""
    yield from map(work, pieces)


@contextmanager
def workers(
    jobs: int, names: Sequence[str], data: Mapping[str, bytes], options: Options
) -> Iterator[Each]:
    """
    Give a `map` whose results come in the order asked, whoever finishes first.

    With one job there is no pool: the same code, and no processes to debug.
    """
    if jobs == 1:
        start_worker(names, data, options)
        yield straight
        return
    with ProcessPoolExecutor(
        jobs, initializer=start_worker, initargs=(names, data, options)
    ) as pool:

        def each(work: Callable[[J], M], pieces: Sequence[J], /) -> Iterator[M]:
            waiting: deque[Future[M]] = deque()
            for piece in pieces:
                waiting.append(pool.submit(work, piece))
                if len(waiting) > AHEAD * jobs:
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()

        yield each


def chunks(items: Sequence[J]) -> list[Sequence[J]]:
    """Cut a list into pieces for the workers."""
    return [items[i : i + CHUNK] for i in range(0, len(items), CHUNK)]


def made_tests(
    archive: Archive, read: ArchiveFiles, options: Options, jobs: int
) -> Iterator[Made]:
    """Every test's pages, in the order of the files."""
    tests = archive.files("test")
    names = list(read.records)
    if len(tests) <= CHUNK:
        jobs = 1
    with workers(jobs, names, read.records, options) as each:
        traces = [t for found in each(survey_chunk, chunks(tests)) for t in found]
        across = flags_across(archive, traces)
        work = [(file, across.get(file, ())) for file in tests]
        for made in each(make_chunk, chunks(work)):
            yield from made


def site_files(
    root: Path, read: ArchiveFiles, options: Options, jobs: int, built: Built
) -> Iterator[tuple[str, bytes]]:
    """Every file of the site; the manifest, which names the others, last."""
    archive = Archive(list(read.records), read.records.__getitem__)
    rows: list[Row] = []
    digests: dict[str, str] = {}

    def counted(path: str, data: bytes) -> tuple[str, bytes]:
        digests[path] = manifest.digest(data)
        return path, data

    for made in made_tests(archive, read, options, jobs):
        rows.append(made.row)
        for path, data in made.files:
            yield counted(path, data)
    for path, data in other_files(archive, rows, options, read.flags):
        yield counted(path, data)
    built.pages = sum(path.endswith(".html") for path in digests)
    built.tests = len(rows)
    built.errors = sum(row.blocked for row in rows) + broken(archive, read.flags)
    yield (
        manifest.NAME,
        manifest.manifest(
            digests,
            manifest.Origin(
                commit=built.checkout.commit,
                differs=built.checkout.differs,
                software=software.software(),
                lock=software.lock_digest(),
                options={"base_url": options.base_url, "release": options.release},
                tests=shown_items(read.issued, rows),
                previous=options.previous or None,
            ),
        ),
    )


def shown_items(
    issued: Mapping[str, bytes], rows: Sequence[Row]
) -> dict[str, list[str]]:
    """Digests of the items of each test that has a page here, and of no other."""
    shown = {row.id for row in rows}
    return {
        test: items
        for test, items in manifest.item_digests(issued).items()
        if test in shown
    }


def broken(archive: Archive, flags: Sequence[Flag]) -> int:
    """How many files that are no tests have an error, and how many can't be read."""
    tests = set(archive.files("test"))
    others = [file for file in archive.names if file not in tests]
    wrong = sum(
        any(flag.severity is Severity.ERROR for flag in archive.flags(file))
        for file in others
    )
    return wrong + len({flag.file for flag in flags})


def build(root: Path, out: Path, options: Options, jobs: int) -> Built:
    """
    Build the whole site of an archive.

    Parameters
    ----------
    root
        The archive's folder, which holds records/.
    out
        Where the site goes. It is replaced whole, and only if it is ours or empty.
    options
        What moves a byte of it.
    jobs
        Processes. Any number gives the same bytes.

    Raises
    ------
    EnvironmentFault
        If `out` is not ours, or can't be written.
    """
    state = checkout(root)
    built = Built(checkout=state)
    options = replace(
        options,
        software=software.software(),
        note=DIFFERS if state.differs else options.note,
    )
    replace_site(out, site_files(root, read_archive(root), options, jobs, built))
    return built
