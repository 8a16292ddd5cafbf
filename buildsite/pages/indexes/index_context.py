"""What index pages are made of: the site, a row for each test, flags, news."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType

from buildsite.archive.field_tests import FieldControl, field_control
from buildsite.archive.uncommitted import is_uncommitted
from buildsite.asked import ask
from buildsite.exports import datapackage, feed, results_csv, results_json
from buildsite.exports.results import ResultRow
from buildsite.kinds.sheet import Note, Plot, Sheet, Table
from buildsite.pages.indexes.news import News
from buildsite.pages.links import HOME, address
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.rows import Row, told_of_rows
from buildsite.pages.view_models import Frames
from buildsite.record.flags import Flag

DATA = (
    (results_csv.NAME, "results, a row a test, for a spreadsheet"),
    (results_json.NAME, "the same for programs"),
    (datapackage.NAME, "what the columns mean"),
    (feed.NAME, "issues and amendments, for a feed reader"),
)
"""Files beside the first page and beside the page of each project."""

SPREADSHEET = ("Results for a spreadsheet", results_csv.NAME)
"""The same at the head of the page, where a phone has it on its first screen."""


@dataclass(frozen=True)
class IndexContext:
    """Everything that index pages are made of."""

    site: Site
    rows: tuple[Row, ...]
    file_flags: tuple[Flag, ...] = ()
    news: tuple[News, ...] = ()
    groups: dict[str, dict[str, list[Row]]] = field(default_factory=dict, init=False)
    controls: dict[str, FieldControl | None] = field(default_factory=dict, init=False)

    def tests(self, by: str, id: str) -> list[Row]:
        """Return the tests of a project, sample or soil class."""
        if by not in self.groups:
            index: dict[str, list[Row]] = {}
            for row in self.rows:
                index.setdefault(getattr(row, by), []).append(row)
            self.groups[by] = index
        return self.groups[by].get(id, [])

    @cached_property
    def projects(self) -> list[str]:
        """Projects that have a page, by id."""
        site = self.site
        named = {row.project for row in self.rows}
        if not site.options.release:
            named |= set(site.archive.ids("project"))
        links = site.links("")
        return [id for id in sorted(named) if links.has_page(("project", id))]

    @cached_property
    def by_id(self) -> dict[str, Row]:
        """Tests that have a page, by id."""
        return {row.id: row for row in self.rows if row.page}

    @cached_property
    def results(self) -> tuple[ResultRow, ...]:
        """The current result of each test that has a page, by project and id."""
        found = (row.data for row in self.rows if row.page)
        rows = (row for row in found if row is not None)
        return tuple(sorted(rows, key=lambda row: (row.project, row.id)))

    @cached_property
    def results_by_project(self) -> dict[str, list[ResultRow]]:
        """The current results of each project, in the same order."""
        found: dict[str, list[ResultRow]] = {}
        for row in self.results:
            found.setdefault(row.project, []).append(row)
        return found

    @cached_property
    def news_by_test(self) -> dict[str, list[News]]:
        """Issues and amendments of each test, newest first."""
        found: dict[str, list[News]] = {}
        for one in self.news:
            found.setdefault(one.id, []).append(one)
        return found

    @cached_property
    def news_by_project(self) -> dict[str, list[News]]:
        """Issues and amendments of each project, newest first."""
        found: dict[str, list[News]] = {}
        for one in self.news:
            found.setdefault(one.file.split("/")[1], []).append(one)
        return found

    @cached_property
    def left(self) -> frozenset[str]:
        """Projects that a failure was moved out of."""
        return frozenset(one.follow.left for row in self.rows for one in row.turned)

    @cached_property
    def _beside_data(self) -> frozenset[str]:
        """Addresses of the pages beside which results stand as files."""
        return frozenset((HOME, *(address(("project", one)) for one in self.projects)))

    def field_control(self, project: str) -> FieldControl | None:
        """Return the field control of a project; None for one without."""
        if project not in self.controls:
            told = told_of_rows(self.tests("project", project))
            self.controls[project] = field_control(project, told)
        return self.controls[project]

    @cached_property
    def has_field_control(self) -> bool:
        """Whether any project has field tests."""
        return any(row.told is not None and row.page for row in self.rows)

    def rows_of(self, ids: Iterable[str]) -> list[Row]:
        """Return the rows of those of these tests that have a page, in order."""
        return [self.by_id[id] for id in ids if id in self.by_id]

    @cached_property
    def flags(self) -> tuple[Flag, ...]:
        """Every flag of every file."""
        archive = self.site.archive
        tests = {row.file for row in self.rows}
        found = [*self.file_flags, *(flag for row in self.rows for flag in row.flags)]
        for name in sorted(set(archive.names) - tests):
            found += archive.flags(name)
        return tuple(found)

    def page(
        self,
        path: str,
        head: Head,
        blocks: Sequence[Table | Plot | Note],
        crumbs: Sequence[tuple[str, str]] = (),
        frames: Frames = MappingProxyType({}),
        of: str = "",
    ) -> File:
        """
        Return one page; its breadcrumb begins at the first page.

        `of` is the file of the record that it shows, if it shows one.
        """
        site = replace(self.site, differs=self._differs(path, of))
        if path in self._beside_data:
            head = replace(
                head, files=(*head.files, *DATA), pages=(*head.pages, SPREADSHEET)
            )
        way = () if path == HOME else ((site.name, HOME), *crumbs, (head.title, ""))
        return site.render(path, head, blocks, way, frames)

    def _differs(self, path: str, of: str) -> bool:
        """Whether a page says that records are not as committed."""
        archive, uncommitted = self.site.archive, self.site.options.uncommitted
        if path == HOME:
            ask("any-uncommitted")
            return bool(uncommitted)
        return bool(of) and is_uncommitted(archive, of, uncommitted)

    def sheet_page(
        self,
        path: str,
        sheet: Sheet,
        kicker: str,
        crumbs: Sequence[tuple[str, str]] = (),
        more: Sequence[Table | Plot | Note] = (),
        pages: Pairs = (),
        frames: Frames = MappingProxyType({}),
        first: Sequence[Table] = (),
        of: str = "",
    ) -> File:
        """Return the page of a sheet, with more blocks about it, and related pages."""
        head = Head(kicker, sheet.title, sheet.subtitle, pages=pages)
        blocks = (*first, *sheet.blocks, *more)
        return self.page(path, head, blocks, crumbs, frames, of)
