"""From an archive to a site. Workers compute and render; one process writes."""

import gc
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from functools import partial
from itertools import product
from pathlib import Path

from buildsite import software
from buildsite.archive import issued_flags
from buildsite.archive.across import compare_tests, repeated, traces_of, words_by_file
from buildsite.archive.archive import Archive
from buildsite.archive.entry_checks import flags_of_history
from buildsite.archive.identity import name_of
from buildsite.archive.inputs_as_issued import Contents, present_in
from buildsite.archive.issued_files import IssuedFiles, Together, unfit_report
from buildsite.archive.issues import Released, amended_together, released_of
from buildsite.archive.record_history import RecordHistory
from buildsite.archive.signatures import signatures_of
from buildsite.archive.states import archive_at
from buildsite.archive.unpublished import Unpublished
from buildsite.errors import EnvironmentFault
from buildsite.exports import manifest
from buildsite.files import ArchiveFiles, Listing, read_archive, replace_site
from buildsite.history.commit import uncommitted
from buildsite.history.run import Checkout, checkout
from buildsite.history.walk import History, read_history
from buildsite.kinds.traces import Trace
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.news import collect_news
from buildsite.pages.indexes.site_pages import index_files
from buildsite.pages.page import site_of
from buildsite.pages.report.draft_pages import render_test
from buildsite.pages.rows import RenderedTest, Row
from buildsite.pages.site_sources import Options, SiteSources
from buildsite.progress import SILENT, Progress
from buildsite.record.canonical import digest
from buildsite.record.commits import Signature
from buildsite.record.flags import Flag, Severity
from buildsite.record.issued import kept_name
from buildsite.record.kept_files import REFUSALS
from buildsite.values import dataclass
from buildsite.workers import CHUNK, chunks, workers


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
class BuildInputs:
    """
    What a process needs to render tests: the files as read, and the git history.

    `history` is None in a build without history, `released` in the laboratory's own
    copy. `signatures` gives the state of each edit's signature, if the laboratory lists
    keys and edits are shown.
    """

    root: Path
    files: ArchiveFiles
    options: Options
    history: History | None = None
    together: Together = field(default_factory=dict)
    released: Released | None = None
    signatures: Mapping[str, Signature] = field(default_factory=dict)
    stands: str = ""  # the commit of these records, if they are committed

    def archive(self) -> Archive:
        """Return the archive. Kept files are read only when needed."""
        files = self.files
        held = {**files.records, **files.issued}
        listing = Listing(self.root, (), (), files.kept, ())
        return Archive(
            list(files.records),
            lambda name: held[name] if name in held else listing.read(name),
            issued=files.issued,
            kept=files.kept,
            program=software.fingerprint,
        )

    def sources(self, archive: Archive) -> SiteSources:
        """Open kept files and the history. Each process runs its own git."""
        past = self.history.reopened() if self.history is not None else None
        contents = Contents(past, present_in(archive))
        issued_files = IssuedFiles(contents, self.together)
        edits = past is not None and not self.options.release
        if past is None or not edits:
            return SiteSources(issued_files, None, self.released)
        record_history = RecordHistory(
            past,
            partial(archive_at, past),
            self.signatures,
            self.stands,
            archive.shared,
        )
        return SiteSources(issued_files, record_history, self.released)


_WORKER: list[tuple[Archive, Options, SiteSources]] = []
"""What this process renders tests from: set once, when a worker starts."""


def start_worker(inputs: BuildInputs) -> None:
    """Give a process the bytes of every record; it parses those that it needs."""
    # Pages make many objects that live as long as the chunk: collecting garbage at
    # every 700 of them costs more than it frees.
    gc.freeze()
    gc.set_threshold(100_000, 20, 20)
    archive = inputs.archive()
    _WORKER[:] = [(archive, inputs.options, inputs.sources(archive))]


Surveyed = tuple[list[Trace], dict[str, tuple[Flag, ...]]]
"""Traces of some tests for the rules across records, and flags from their history."""


def survey_chunk(chunk: Sequence[str]) -> Surveyed:
    """Return what rules across records and across edits need of a few tests."""
    archive, _, sources = _WORKER[0]
    look = sources.record_history
    found = (
        flags_of_history(archive, chunk, look.past, look.touching)
        if look is not None
        else {}
    )
    return traces_of(archive, chunk), found


Job = tuple[str, tuple[Flag, ...], tuple[str, ...]]
"""A test, its flags across records, and how it compares with its repeats."""


def render_chunk(chunk: Sequence[Job]) -> list[RenderedTest]:
    """Compute a few tests and render their pages."""
    archive, options, sources = _WORKER[0]
    flags = {file: found for file, found, _ in chunk}
    archive.across_flags = {**archive.across_flags, **flags}
    archive.repeats = {file: words for file, _, words in chunk}
    for file, _, _ in chunk:
        refuse_unfit_reports(archive, file, sources)
    return [render_test(archive, file, options, sources) for file, _, _ in chunk]


def refuse_unfit_reports(archive: Archive, file: str, sources: SiteSources) -> None:
    """Refuse to show a kept report that could run or load something."""
    issued, _ = archive.chain(file)
    items = issued.items if issued is not None else ()
    contents = sources.issued_files.contents
    for item, suffix in product(items, REFUSALS):
        data = sources.issued_files.sent(file, item, suffix)
        name = kept_name(file, item.revision, suffix)
        reasons = (
            unfit_report(name, data, item, contents, archive.shared)
            if data is not None
            else ()
        )
        if reasons:
            raise EnvironmentFault(
                f"{name} holds what no kept report may: {'; '.join(reasons)}. "
                "Nothing was built.",
                "Ask who committed it, and restore the state before: `buildsite issue` "
                "writes no such report.",
            )


def render_tests(
    archive: Archive, inputs: BuildInputs, jobs: int, progress: Progress
) -> Iterator[RenderedTest]:
    """Render the pages of every test, or of every released test, in order."""
    tests, released = archive.files("test"), inputs.released
    shown = [
        file for file in tests if released is None or name_of(file) in released.tests
    ]
    if len(tests) <= CHUNK:
        jobs = 1
    with workers(jobs, start_worker, inputs) as each:
        progress.stage("comparing tests", len(tests))
        surveyed = []
        for some in each(survey_chunk, chunks(tests)):
            surveyed.append(some)
            progress.done(min(CHUNK, len(tests) - CHUNK * (len(surveyed) - 1)))
        traces = [trace for found, _ in surveyed for trace in found]
        more = {file: flags for _, past in surveyed for file, flags in past.items()}
        pairs = repeated(archive, traces)
        compare_tests(archive, traces, pairs, more=more)
        across, words = archive.across_flags, words_by_file(pairs)
        work = [(file, across.get(file, ()), words.get(file, ())) for file in shown]
        progress.stage("making the pages of tests", len(shown))
        for made in each(render_chunk, chunks(work)):
            yield from made
            progress.done(len(made))


def site_files(
    inputs: BuildInputs,
    archive: Archive,
    jobs: int,
    built: BuildResult,
    progress: Progress,
) -> Iterator[tuple[str, bytes]]:
    """Return every file of the site; the manifest, which names the others, last."""
    options, read = inputs.options, inputs.files
    rows: list[Row] = []
    digests: dict[str, str] = {}

    def counted(path: str, data: bytes) -> tuple[str, bytes]:
        if inputs.released is not None:
            refuse_secrets(inputs.released.secret, path, data)
        digests[path] = digest(data)
        return path, data

    for made in render_tests(archive, inputs, jobs, progress):
        rows.append(made.row)
        for path, data in made.files:
            yield counted(path, data)
    progress.stage("making the other pages")
    for path, data in index_files(index_context(inputs, archive, rows)):
        yield counted(path, data)
    built.pages = sum(path.endswith(".html") for path in digests)
    built.tests = len(rows)
    stray = [*read.flags, *archive.strays(), *issued_flags.issue_flags_among(rows)]
    built.errors = sum(row.blocked for row in rows) + count_broken(archive, stray)
    yield (
        manifest.NAME,
        manifest.manifest(
            digests,
            manifest.Origin(
                commit=built.checkout.commit,
                differs=built.checkout.differs,
                software=software.software(),
                lock=software.lock_digest(),
                options=options.written(),
                tests=items_on_site(read.issued, rows),
                previous=options.previous or None,
            ),
        ),
    )
    progress.stage("replacing the site")


def refuse_secrets(secret: Unpublished, path: str, data: bytes) -> None:
    """Refuse a file for clients that names a project that is not published."""
    told = secret.told(path, data)
    if told:
        raise EnvironmentFault(
            f"{path} would name {', '.join(told)} of {secret.project(told[0])}, which "
            "is not published. Nothing was built.",
            "Look where it is named (`git grep` in records/), and issue no report "
            "that says so; or publish that project too.",
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


def items_on_site(
    issued: Mapping[str, bytes], rows: Sequence[Row]
) -> dict[str, list[str]]:
    """Return the digests of the items of each test that has a page here."""
    shown = {row.id for row in rows}
    return {
        test: items
        for test, items in manifest.item_digests(issued).items()
        if test in shown
    }


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
    try:
        replace_site(out, site_files(inputs, archive, jobs, built, progress))
    finally:
        _WORKER.clear()  # a process forked later must not inherit an open git
    return built


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
