"""From an archive to a site: processes make and write the pages, one moves them."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from functools import partial
from pathlib import Path

from buildsite import software
from buildsite.archive import issued_flags
from buildsite.archive.across import compare_tests, repeated, words_by_file
from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.issues import amended_together, released_of
from buildsite.archive.other_curves import with_other_curves
from buildsite.archive.record_history import RecordHistory
from buildsite.archive.signatures import signatures_of
from buildsite.archive.states import archive_at
from buildsite.building.inputs import BuildInputs
from buildsite.building.tasks import (
    Made,
    Surveyed,
    end_work,
    render_chunk,
    start_work,
    survey_chunk,
)
from buildsite.errors import EnvironmentFault
from buildsite.exports import manifest
from buildsite.files import Stage, Written, read_archive, replace_site
from buildsite.history.commit import uncommitted
from buildsite.history.run import Checkout, checkout
from buildsite.history.walk import History, read_history
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.news import collect_news
from buildsite.pages.indexes.site_pages import index_files
from buildsite.pages.page import site_of
from buildsite.pages.rows import Row
from buildsite.pages.site_sources import Options
from buildsite.progress import SILENT, Progress
from buildsite.record.flags import Flag, Severity
from buildsite.values import dataclass
from buildsite.workers import CHUNK, ChunkMap, chunks, workers


@dataclass
class BuildResult:
    """How many pages and tests a build made, and how many errors."""

    pages: int = 0
    tests: int = 0
    errors: int = 0  # complete tests, and other files, with an error
    checkout: Checkout = field(default_factory=lambda: Checkout(None, differs=False))
    withheld: Mapping[str, str] = field(default_factory=dict)  # test → why
    doubtful: tuple[str, ...] = ()  # words to look at


@dataclass(frozen=True)
class Plan:
    """What a build begins with: its inputs, their archive, and what is told of it."""

    inputs: BuildInputs
    archive: Archive
    built: BuildResult

    def shown(self, files: Sequence[str]) -> list[str]:
        """Return those tests that have pages: all, or in a released site some."""
        released = self.inputs.released
        return [
            file
            for file in files
            if released is None or name_of(file) in released.tests
        ]


def render_tests(
    plan: Plan, stage: Stage, jobs: int, progress: Progress
) -> Iterator[Made]:
    """Write the pages of every test, or of every released test, in order."""
    tests = plan.archive.files("test")
    if len(tests) <= CHUNK:
        jobs = 1
    with workers(jobs, start_work, (plan.inputs, stage)) as each:
        compared = compare(plan, survey(tests, each, progress))
        yield from render_some(plan, tests, compared, each, progress)


def survey(tests: Sequence[str], each: ChunkMap, progress: Progress) -> list[Surveyed]:
    """Return what rules across records and across edits need of tests, in order."""
    progress.stage("comparing tests", len(tests))
    found = []
    for some in each(survey_chunk, chunks(tests)):
        found.append(some)
        progress.done(min(CHUNK, len(tests) - CHUNK * (len(found) - 1)))
    return found


@dataclass(frozen=True)
class Compared:
    """
    What comparing all tests tells of each, beside its flags.

    `words`: how it compares with its repeats; `overlaid`: the tests over whose curve
    others of the soil can be laid.
    """

    words: Mapping[str, tuple[str, ...]]
    overlaid: Collection[str]


def compare(plan: Plan, surveyed: Sequence[Surveyed]) -> Compared:
    """Compare all tests; their flags are left in the archive."""
    archive = plan.archive
    traces = [trace for found, _ in surveyed for trace in found]
    more = {file: flags for _, past in surveyed for file, flags in past.items()}
    pairs = repeated(archive, traces)
    compare_tests(archive, traces, pairs, more=more)
    shown = plan.shown(archive.files("test"))
    overlaid = with_other_curves(archive, traces, shown)
    return Compared(words_by_file(pairs), overlaid)


def render_some(
    plan: Plan,
    tests: Sequence[str],
    compared: Compared,
    each: ChunkMap,
    progress: Progress,
) -> Iterator[Made]:
    """Write the pages of some tests, once all are compared, in order."""
    shown, across = plan.shown(tests), plan.archive.across_flags
    words, overlaid = compared.words, compared.overlaid
    work = [
        (file, across.get(file, ()), words.get(file, ()), file in overlaid)
        for file in shown
    ]
    progress.stage("making the pages of tests", len(shown))
    for made in each(render_chunk, chunks(work)):
        yield from made
        progress.done(len(made))


def site_files(
    stage: Stage, plan: Plan, tests: Iterable[Made], progress: Progress
) -> Iterator[Written]:
    """Write every file of the site; the manifest, which names the others, last."""
    inputs, archive, built = plan.inputs, plan.archive, plan.built
    rows: list[Row] = []
    digests: dict[str, str] = {}
    for made in tests:
        rows.append(made.row)
        for one in made.files:
            digests[one.path] = one.digest
            yield one
    progress.stage("making the other pages")
    for path, data in index_files(index_context(inputs, archive, rows)):
        one = inputs.put(stage, path, data)
        digests[path] = one.digest
        yield one
    built.pages = sum(path.endswith(".html") for path in digests)
    built.tests = len(rows)
    stray = [
        *inputs.files.flags,
        *archive.strays(),
        *issued_flags.issue_flags_among(rows),
    ]
    built.errors = sum(row.blocked for row in rows) + count_broken(archive, stray)
    shown = {row.id for row in rows}
    about = written_manifest(inputs, built.checkout, digests, shown)
    yield stage.put(manifest.NAME, about)
    progress.stage("replacing the site")


def written_manifest(
    inputs: BuildInputs,
    checkout: Checkout,
    digests: Mapping[str, str],
    shown: Collection[str],
) -> bytes:
    """Return the manifest of a site; `shown` are the ids of the tests on it."""
    items = manifest.item_digests(inputs.files.issued)
    return manifest.manifest(
        digests,
        manifest.Origin(
            commit=checkout.commit,
            differs=checkout.differs,
            software=software.software(),
            lock=software.lock_digest(),
            options=inputs.options.written(),
            tests={test: items[test] for test in items if test in shown},
            previous=inputs.options.previous or None,
        ),
    )


def index_context(
    inputs: BuildInputs, archive: Archive, rows: Sequence[Row]
) -> IndexContext:
    """Return what the index pages are made of."""
    released = inputs.released
    if released is not None:
        released = replace(released, samples=frozenset(row.sample for row in rows))
    return IndexContext(
        site_of(archive, inputs.options, released),
        tuple(rows),
        (*inputs.files.flags, *archive.strays()),
        tuple(collect_news(archive, rows, inputs.history)),
        history_of(inputs, archive),
    )


def history_of(inputs: BuildInputs, archive: Archive) -> RecordHistory | None:
    """Return the history of records for index pages; None for a released site."""
    past = inputs.history
    if past is None or inputs.released is not None:
        return None
    return RecordHistory(past, partial(archive_at, past), shared=archive.shared)


def count_broken(archive: Archive, flags: Sequence[Flag]) -> int:
    """Count the files other than tests that have an error or can't be read."""
    tests = set(archive.files("test"))
    others = [file for file in archive.names if file not in tests]
    wrong = sum(
        any(flag.severity is Severity.ERROR for flag in archive.flags(file))
        for file in others
    )
    return wrong + len({flag.file for flag in flags})


def build(
    root: Path, out: Path, options: Options, jobs: int, progress: Progress = SILENT
) -> BuildResult:
    """
    Build the whole site of an archive.

    `out` is replaced whole, and only if it is empty or an earlier site. Any number of
    `jobs` (processes) gives the same bytes.

    Raises
    ------
    EnvironmentFault
        If `out` is something else or can't be written; if the git history is needed
        and is not there.
    """
    plan = planned(root, options, progress)

    def files(stage: Stage) -> Iterator[Written]:
        tests = render_tests(plan, stage, jobs, progress)
        return site_files(stage, plan, tests, progress)

    try:
        replace_site(out, files)
    finally:
        end_work()
    return plan.built


def planned(root: Path, options: Options, progress: Progress) -> Plan:
    """Read what a build begins with."""
    progress.stage("reading records")
    state, read = checkout(root), read_archive(root)
    if state.commit is not None:
        paths = state.paths | uncommitted(root, {**read.records, **read.issued})
        if state.differs and not paths:
            paths = frozenset({"records"})  # a repository among them: git says no more
        state = replace(state, differs=bool(paths), paths=paths)
    built = BuildResult(checkout=state)
    options = replace(options, software=software.software(), uncommitted=state.paths)
    progress.stage("reading the history")
    history = None if options.without_history else past_of(root, state)
    stands = state.commit or "" if not state.differs else ""
    inputs = BuildInputs(root, read, options, history, stands=stands)
    archive = inputs.archive()
    inputs = replace(
        inputs,
        together=amended_together(archive),
        released=released_of(archive) if options.release else None,
        signatures=signatures_of(history) if history and not options.release else {},
    )
    if inputs.released is not None:
        built.withheld = inputs.released.withheld
        built.doubtful = inputs.released.doubtful
    return Plan(inputs, archive, built)


def past_of(root: Path, state: Checkout) -> History:
    """
    Read the git history of an archive.

    Raises
    ------
    EnvironmentFault
        If the folder is not a git clone, or a shallow one.
    """
    if state.commit is None:
        raise EnvironmentFault(
            f"{root} is not a git clone with a commit: there is no history to show.",
            "Clone the archive with git, or build with `--without-history`: every page "
            "then says that earlier states and edits are not shown.",
        )
    return read_history(root)
