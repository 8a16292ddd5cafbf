"""The pages of a site other than those of single tests: lists, records, reference."""

from collections.abc import Generator, Sequence
from dataclasses import replace
from typing import Protocol

from buildsite.archive import issued_flags
from buildsite.archive.archive import Archive
from buildsite.asked import ask, questions
from buildsite.building.inputs import BuildInputs
from buildsite.building.steps import Steps
from buildsite.cache.value_forms import form_of
from buildsite.files import Stage, Written
from buildsite.kinds.traces import Trace
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.news import collect_news
from buildsite.pages.indexes.site_pages import index_files
from buildsite.pages.page import site_of
from buildsite.pages.rows import Row
from buildsite.record.flags import Flag, Severity

NUMBER = form_of(int)

INDEXES = "indexes"
"""The step of all pages other than those of single tests."""


class Tests(Protocol):
    """What a build knows of all tests."""

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows of all tests that are shown, in order of their files."""

    def asked_traces(self) -> list[Trace]:
        """Return the traces of all tests, and ask for each."""


def index_pages(
    inputs: BuildInputs, archive: Archive, steps: Steps, stage: Stage, tests: Tests
) -> Generator[Written, None, int]:
    """Write the pages, or tell what is left of them; return the number of errors."""
    if steps.stands(INDEXES):
        yield from steps.left(INDEXES)
        return int(steps.read(INDEXES, NUMBER))
    files: list[Written] = []
    with questions() as asked:
        for question in ("rows", "head", "listing-flags"):
            ask(question)
        archive.traces = tests.asked_traces()
        rows = tests.rows
        for path, data in index_files(context_of(inputs, archive, rows)):
            files.append(inputs.put(stage, path, data))
            yield files[-1]
        errors = errors_of(inputs, archive, rows)
    steps.keep(INDEXES, NUMBER, errors, asked, files)
    return errors


def context_of(
    inputs: BuildInputs, archive: Archive, rows: tuple[Row, ...]
) -> IndexContext:
    """Return what the index pages are made of."""
    released = inputs.released
    if released is not None:
        samples = frozenset(row.sample for row in rows)
        released = replace(released, samples=samples)
    return IndexContext(
        site_of(archive, inputs.options, released),
        rows,
        (*inputs.files.flags, *archive.strays()),
        tuple(collect_news(archive, rows, inputs.history)),
    )


def errors_of(inputs: BuildInputs, archive: Archive, rows: Sequence[Row]) -> int:
    """Count the complete tests with an error, and the other files with one."""
    stray = (*inputs.files.flags, *archive.strays())
    flags = (*stray, *issued_flags.issue_flags_among(rows))
    return sum(row.blocked for row in rows) + count_broken(archive, flags)


def count_broken(archive: Archive, flags: Sequence[Flag]) -> int:
    """Count the files other than tests that have an error or can't be read."""
    tests = set(archive.files("test"))
    others = [file for file in archive.names if file not in tests]
    wrong = sum(
        any(flag.severity is Severity.ERROR for flag in archive.flags(file))
        for file in others
    )
    return wrong + len({flag.file for flag in flags})
