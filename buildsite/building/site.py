"""Every file of a site: made by processes, or as the last build left it."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, ExitStack, contextmanager
from dataclasses import replace
from functools import partial
from itertools import chain
from secrets import token_hex
from typing import TypeVar

from buildsite import software, workers
from buildsite.archive.identity import name_of
from buildsite.asked import Question
from buildsite.building.chains import chains_of
from buildsite.building.comparison import SURVEYED, Comparison, Surveyed
from buildsite.building.index_pages import index_pages
from buildsite.building.inputs import BuildInputs
from buildsite.building.other_curves import OtherCurves
from buildsite.building.plan import Plan
from buildsite.building.steps import Steps
from buildsite.building.tasks import (
    Doubted,
    Job,
    ready,
    render_chunk,
    stands_chunk,
    start_work,
    survey_chunk,
)
from buildsite.cache.shelf import Shelf
from buildsite.exports import manifest
from buildsite.files import Stage, Written
from buildsite.history.run import Checkout
from buildsite.kinds.traces import Trace
from buildsite.progress import Progress
from buildsite.workers import ChunkMap

J = TypeVar("J")
M = TypeVar("M")


class SiteBuild:
    """
    One build of a site, step by step.

    `items` are the digests of the items of each issued test; `surveyed` and `made` the
    tests of which this build made something, or was given it, `faces` what lists have
    at hand of them.
    """

    def __init__(
        self,
        plan: Plan,
        steps: Steps,
        jobs: int,
        progress: Progress,
        scheduler: str = "",
    ) -> None:
        self.archive = plan.archive
        self.built = plan.built
        self.steps = steps
        self.jobs = jobs
        self.scheduler = scheduler
        self.progress = progress
        self.items, amended = chains_of(plan.archive, steps)
        self.inputs = replace(plan.inputs, together=amended)
        steps.answers.inputs = self.inputs
        together = {key: str(many) for key, many in amended.items()}
        steps.tell_all("together", together)
        self.tests = plan.archive.files("test")
        self.shown = plan.shown(self.tests)
        self.surveyed: dict[str, None] = {}
        self.made: set[str] = set()
        self.blocked = 0
        self.faces = Shelf()

    def files(self, stage: Stage) -> Iterator[Written]:
        """Write every file of the site; the manifest, which names the others, last."""
        yield from self.whole(stage, self.tests_made(stage))

    def tests_made(self, stage: Stage) -> Iterator[Written]:
        """Write the pages of all tests, by processes that end with the last of them."""
        with self.pools(stage) as pools:
            self.survey(pools, self.tests)
            self.compare(pools, self.shown)
            yield from self.pages_of(self.shown, pools)

    def whole(self, stage: Stage, tests: Iterator[Written]) -> Iterator[Written]:
        """Write what remains after the pages of `tests`."""
        digests: dict[str, str] = {}
        for one in chain(tests, self.indexes(stage)):
            digests[one.path] = one.digest
            yield one
        built = self.built
        built.pages = sum(path.endswith(".html") for path in digests)
        built.tests = len(self.shown)
        shown = {name_of(file) for file in self.shown}
        tests_shown = {id: items for id, items in self.items.items() if id in shown}
        about = written_manifest(self.inputs, built.checkout, digests, tests_shown)
        yield stage.put(manifest.NAME, about)
        self.progress.stage("replacing the site")

    @contextmanager
    def pools(self, stage: Stage) -> Iterator["Pools"]:
        """Yield the processes that make pages."""
        with ExitStack() as stack:
            yield Pools(stack, self.inputs, stage, self.jobs, self.scheduler)

    def survey(self, pools: "Pools", files: Sequence[str]) -> None:
        """Read of each of these tests what rules across records and edits need."""
        steps = self.steps
        names = {file: f"trace {file}" for file in files}
        todo = [file for file, name in names.items() if not steps.stands(name)]
        self.progress.stage("surveying tests", len(todo))
        for some in pools.map(survey_chunk, todo, list):
            for one in some:
                self.take_survey(one.file, one.text, one.asked)
            self.progress.done(len(some))

    def take_survey(
        self, file: str, text: str, asked: Collection[Question] = ()
    ) -> None:
        """Take what was read of a test for the comparison."""
        self.steps.keep_text(f"trace {file}", text, asked)
        self.surveyed[file] = None

    def trace(self, file: str) -> Trace | None:
        """Return the trace of a test."""
        found: Surveyed = self.steps.read(f"trace {file}", SURVEYED)
        return found[0]

    def compare(self, pools: "Pools", own: Sequence[str]) -> None:
        """Compare the tests that have changed with all others; `own` get pages here."""
        steps, archive = self.steps, self.archive
        self.progress.stage("comparing tests")
        comparison = Comparison(archive, steps)
        for file in self.surveyed:
            comparison.take_test(file)
        comparison.drop_tests({file: f"trace {file}" for file in self.tests})
        comparison.run()
        look = partial(self._look_at_curves, pools)
        archive.overlaid = OtherCurves(archive, steps, self.shown, own).files(look)
        steps.tell_all("overlaid", dict.fromkeys(archive.overlaid, "True"))

    def _look_at_curves(
        self, pools: "Pools", files: Sequence[str]
    ) -> Iterator[tuple[str, bool, frozenset[Question]]]:
        flags = self.archive.across_flags

        def told(some: Sequence[str]) -> list[Doubted]:
            return [(file, flags.get(file, ())) for file in some]

        for found in pools.map(stands_chunk, files, told):
            yield from found

    def pages_of(self, files: Sequence[str], pools: "Pools") -> Iterator[Written]:
        """Write the pages of tests, once all are compared."""
        steps = self.steps
        names = {file: f"test {file}" for file in files}
        todo = steps.to_be_made(names)
        self.progress.stage("making the pages of tests", len(todo))
        for some in pools.map(render_chunk, todo, self._job_of):
            for made in some:
                self.take_row(made.file, made.row, made.face, made.asked, made.files)
                self.blocked += made.blocked
                yield from made.files
            self.progress.done(len(some))
        for file, name in names.items():
            if file not in self.made:
                yield from steps.left(name)

    def _job_of(self, files: Sequence[str]) -> list[Job]:
        """Return what a process is told of a few tests."""
        archive = self.archive
        across, words = archive.across_flags, archive.repeats
        return [
            (file, across.get(file, ()), words.get(file, ()), file in archive.overlaid)
            for file in files
        ]

    def take_row(
        self,
        file: str,
        row: str,
        face: str,
        asked: Collection[Question] = (),
        files: Sequence[Written] = (),
    ) -> None:
        """Take what was made of a test: its row, and what lists have at hand of it."""
        self.steps.keep_text(f"test {file}", row, asked, files)
        self.faces.put(file, face)
        self.made.add(file)

    def indexes(self, stage: Stage) -> Iterator[Written]:
        """Write all other pages, unless nothing that any of them shows has changed."""
        jobs = 1 if self.scheduler else self.jobs
        self.built.errors = yield from index_pages(
            self.inputs, self.archive, stage, self, jobs, self.progress
        )


def written_manifest(
    inputs: BuildInputs,
    checkout: Checkout,
    digests: Mapping[str, str],
    tests: Mapping[str, Sequence[str]],
) -> bytes:
    """Return the manifest of a site; `tests` has the digests of the items of each."""
    return manifest.manifest(
        digests,
        manifest.Origin(
            commit=checkout.commit,
            differs=checkout.differs,
            software=software.software(),
            lock=software.lock_digest(),
            options=inputs.options.written(),
            tests=tests,
            previous=inputs.options.previous or None,
        ),
    )


class Pools:
    """Processes for few or many tests, each started when it is needed."""

    def __init__(
        self,
        stack: ExitStack,
        inputs: BuildInputs,
        stage: Stage,
        jobs: int,
        scheduler: str,
    ) -> None:
        self._stack = stack
        self._given = (inputs, stage)
        self._jobs = jobs
        self._scheduler = scheduler
        self._started: dict[int, ChunkMap] = {}

    def map(
        self,
        work: Callable[[Sequence[J]], M],
        tests: Sequence[str],
        told: Callable[[Sequence[str]], Sequence[J]],
    ) -> Iterator[M]:
        """Do some work on tests, a few of them at a time, each as it is `told`."""
        jobs = 1 if self._scheduler else self._jobs
        return self.each(len(tests))(work, map(told, workers.chunks(tests, jobs)))

    def each(self, tests: int) -> ChunkMap:
        """Return a `map` over so many tests; few are not worth a process."""
        if not tests:
            return workers.map_here
        jobs = self._jobs if tests > workers.CHUNK or self._scheduler else 1
        if jobs not in self._started:
            self._started[jobs] = self._stack.enter_context(self._pool(jobs))
        return self._started[jobs]

    def _pool(self, jobs: int) -> AbstractContextManager[ChunkMap]:
        """Return processes here, or those of a scheduler."""
        if self._scheduler:
            from buildsite.cluster import scheduled  # late: few builds need it

            return scheduled(self._scheduler, start_work, self._given, token_hex())
        if jobs > 1:
            ready()
        return workers.workers(jobs, start_work, self._given)
