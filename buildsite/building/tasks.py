"""What a process of a build does with a few tests: look for traces, make pages."""

import gc
from collections.abc import Iterable, Sequence
from functools import partial
from itertools import product

from buildsite.archive.across import traces_of
from buildsite.archive.archive import Archive
from buildsite.archive.check_catalogue import catalogue
from buildsite.archive.entry_checks import flags_of_history, says_who_judged
from buildsite.archive.issued_files import unfit_report
from buildsite.archive.other_curves import stands
from buildsite.asked import Question, questions
from buildsite.building.comparison import SURVEYED
from buildsite.building.inputs import BuildInputs
from buildsite.building.row_table import ROW, face_of
from buildsite.cache.store import written
from buildsite.errors import EnvironmentFault
from buildsite.files import Stage, Written
from buildsite.pages.render import compile_templates
from buildsite.pages.report.draft_pages import render_test
from buildsite.pages.site_sources import SiteSources
from buildsite.record.flags import Flag
from buildsite.record.issued import kept_name
from buildsite.record.kept_files import REFUSALS
from buildsite.values import dataclass


@dataclass(frozen=True)
class Surveyed:
    """
    What rules across records and across edits need of a test, and what was asked.

    `text`: its trace for the rules across records, and flags from its history, in JSON.
    """

    file: str
    text: str
    asked: frozenset[Question]


@dataclass(frozen=True)
class Made:
    """
    What a process returns of a test: its row, what it wrote, and what was asked.

    `row` is in JSON, and so is `face`, what lists have at hand of it.
    """

    file: str
    row: str
    face: str
    blocked: bool
    files: tuple[Written, ...]
    asked: frozenset[Question]


@dataclass(frozen=True)
class Work:
    """What this process renders tests from, and where it writes them."""

    inputs: BuildInputs
    stage: Stage
    archive: Archive
    sources: SiteSources


_WORK: list[Work] = []
"""Set once, when a process starts."""


def start_work(given: tuple[BuildInputs, Stage]) -> None:
    """Give a process the bytes of every record; it parses those that it needs."""
    inputs, stage = given
    # Pages make many objects that live as long as the chunk: collecting garbage at
    # every 700 of them costs more than it frees.
    gc.freeze()
    gc.set_threshold(100_000, 20, 20)
    archive = inputs.archive()
    _WORK[:] = [Work(inputs, stage, archive, inputs.sources(archive))]


def ready() -> None:
    """Load what every process needs: those forked afterwards have it already."""
    catalogue()
    compile_templates()


def end_work() -> None:
    """Forget it: a process forked later must not inherit an open git."""
    _WORK.clear()


def survey_chunk(chunk: Sequence[str]) -> list[Surveyed]:
    """Return what rules across records and across edits need of a few tests."""
    work = _WORK[0]
    look = work.sources.record_history
    if look is not None:
        entries = map(work.archive.entry, chunk)
        judged = [one.file for one in entries if says_who_judged(one.source.tree)]
        look.past.load(judged, look.touching)
    return [survey(work, file) for file in chunk]


def survey(work: Work, file: str) -> Surveyed:
    """Return what rules across records and across edits need of a test."""
    archive, look = work.archive, work.sources.record_history
    with questions() as asked:
        traces = traces_of(archive, [file])
        flags: tuple[Flag, ...] = ()
        if look is not None:
            found = flags_of_history(archive, [file], look.past, look.touching)
            flags = found.get(file, ())
    archive.shared.forget_texts()
    archive.forget_projects()
    told = SURVEYED.write((traces[0] if traces else None, flags))
    return Surveyed(file, written(told), noted(work, asked))


Doubted = tuple[str, tuple[Flag, ...]]
"""A test, and its flags across records."""


def stands_chunk(
    chunk: Sequence[Doubted],
) -> list[tuple[str, bool, frozenset[Question]]]:
    """Return whether the curves of a few tests may be used."""
    work = _WORK[0]
    work.archive.across_flags = {**work.archive.across_flags, **dict(chunk)}
    return [(file, *may_be_used(work, file)) for file, _ in chunk]


def may_be_used(work: Work, file: str) -> tuple[bool, frozenset[Question]]:
    """Return whether the curve of a test may be used, and what was asked."""
    with questions() as asked:
        may = stands(work.archive, file)
    work.archive.forget(file)
    return may, noted(work, asked)


Job = tuple[str, tuple[Flag, ...], tuple[str, ...], bool]
"""
A test, its flags across records, how it compares with its repeats, and whether there is
another curve of its soil.
"""


def render_chunk(chunk: Sequence[Job]) -> list[Made]:
    """Compute a few tests, and write their pages."""
    work = _WORK[0]
    archive, look = work.archive, work.sources.record_history
    if look is not None:
        look.past.load([file for file, *_ in chunk], look.touching)
    archive.across_flags = {file: found for file, found, _, _ in chunk}
    archive.repeats = {file: words for file, _, words, _ in chunk}
    archive.overlaid = frozenset(file for file, _, _, more in chunk if more)
    return [render(work, file) for file, *_ in chunk]


def render(work: Work, file: str) -> Made:
    """Compute a test, and write its pages."""
    with questions() as asked:
        refuse_unfit_reports(work.archive, file, work.sources)
        made = render_test(work.archive, file, work.inputs.options, work.sources)
    put = partial(work.inputs.put, work.stage)
    files = tuple(put(*one) for one in made.files)
    if work.sources.record_history is not None:
        work.sources.record_history.forget(file)
    work.archive.forget(file)
    work.archive.forget_projects()
    row = ROW.write(made.row)
    face = written(face_of(made.row, row))
    return Made(file, written(row), face, made.row.blocked, files, noted(work, asked))


def noted(work: Work, asked: Iterable[Question]) -> frozenset[Question]:
    """Return what was asked, if it is to be kept."""
    return frozenset(asked if work.inputs.notes else ())


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
