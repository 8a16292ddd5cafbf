"""What index pages are made of: the site, a row for each test, flags, news."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import chain
from operator import itemgetter
from types import MappingProxyType
from typing import Any, TypeVar

from buildsite.archive.field_tests import FieldControl, field_control
from buildsite.archive.uncommitted import is_uncommitted
from buildsite.asked import Kept, ask
from buildsite.exports import datapackage, feed, results_csv, results_json
from buildsite.kinds.equipment.uses import TestUse, by_equipment
from buildsite.kinds.sheet import Note, Plot, Sheet, Table
from buildsite.pages.indexes.news import NewsLists
from buildsite.pages.indexes.record_facts import RecordsOf, records_of
from buildsite.pages.indexes.row_lists import ById, RowLists
from buildsite.pages.links import HOME, address
from buildsite.pages.page import File, Head, Pairs, Site
from buildsite.pages.rows import Row, told_of_rows
from buildsite.pages.view_models import Frames
from buildsite.record.flags import Flag, Severity

DATA = (
    (results_csv.NAME, "results, a row a test, for a spreadsheet"),
    (results_json.NAME, "the same for programs"),
    (datapackage.NAME, "what the columns mean"),
    (feed.NAME, "issues and amendments, for a feed reader"),
)
"""Files beside the first page and beside the page of each project."""

IS_PROJECT = re.compile(address(("project", "[^/]+")).replace(".", r"\."))
"""The address of a project's page, beside which results stand as files."""

SPREADSHEET = ("Results for a spreadsheet", results_csv.NAME)
"""The same at the head of the page, where a phone has it on its first screen."""


V = TypeVar("V")

Keep = Callable[[str, Any, Callable[[], Any]], Any]
"""Return a value of a name and a type, which is made unless it is kept."""


Step = tuple[str, Callable[[], Iterable[File]]]
"""Name of some pages that are made together, and how they are made."""


def make_now(name: str, kind: Any, make: Callable[[], V]) -> V:
    """Return a value that nobody keeps."""
    return make()


@dataclass(frozen=True)
class IndexContext:
    """
    Everything that index pages are made of.

    `strays` returns the flags of files that belong to no record; `keep` takes a value
    that several pages need from the last build, where nothing that it asked has
    changed; `uses_of` returns the uses of a piece of equipment by tests.
    """

    site: Site
    rows: Sequence[Row]
    strays: Callable[[], Sequence[Flag]] = tuple
    news: NewsLists = field(default_factory=NewsLists)
    keep: Keep = make_now
    uses_of: Callable[[str], Sequence[TestUse]] | None = None
    lists: RowLists = field(init=False)
    _held: Kept[Any] = field(default_factory=Kept, init=False)

    def __post_init__(self) -> None:
        """Lay the rows out by project, sample, soil class and equipment."""
        lists = self.rows if isinstance(self.rows, RowLists) else RowLists(self.rows)
        object.__setattr__(self, "lists", lists)

    def kept(self, name: str, kind: Any, make: Callable[[], V]) -> V:
        """Return a value that several pages need, made once."""
        found: V = self._held.get(name, partial(self.keep, name, kind, make))
        return found

    def asks(self, name: str) -> None:
        """Note that a page is made of a value that was looked up before."""
        ask("value", name)

    def tests(self, by: str, id: str) -> Sequence[Row]:
        """Return the tests of a project, sample, soil class or piece of equipment."""
        return self.lists.of(by, id)

    @property
    def by_id(self) -> ById:
        """Tests that have a page, by id."""
        return ById(self.lists)

    @property
    def projects(self) -> list[str]:
        """Projects that have a page, by id."""
        site = self.site
        named = {row.project for row in self.rows}
        if not site.options.release:
            named |= set(site.archive.ids("project"))
        links = site.links("")
        return [id for id in sorted(named) if links.has_page(("project", id))]

    def uses(self, equipment: str) -> Sequence[TestUse]:
        """Return the uses of a piece of equipment by tests."""
        if self.uses_of is not None:
            return self.uses_of(equipment)
        found: dict[str, list[TestUse]] = self._held.get(
            "uses", partial(by_equipment, self.site.archive.traces)
        )
        return found.get(equipment, ())

    def field_control(self, project: str) -> FieldControl | None:
        """Return the field control of a project; None for one without."""

        def make() -> FieldControl | None:
            tests = [row for row in self.tests("project", project) if row.of_fill]
            return field_control(project, told_of_rows(tests))

        found: FieldControl | None = self._held.get(("field", project), make)
        return found

    @property
    def has_field_control(self) -> bool:
        """Whether any project has field tests."""

        def make() -> bool:
            return any(row.of_fill and row.page for row in self.rows)

        return self.kept("any field control", bool, make)

    def rows_of(self, ids: Iterable[str]) -> list[Row]:
        """Return the rows of those of these tests that have a page, in order."""
        found = map(self.lists.one, ids)
        return [row for row in found if row is not None]

    def records(self, folder: str) -> RecordsOf:
        """Return what is listed of the records in a folder, but tests."""
        make = partial(records_of, self.site.archive, folder)
        return self.kept(f"records {folder}", RecordsOf, make)

    @property
    def other_flags(self) -> list[Flag]:
        """The flags of all files but tests: of those of no record, then by file."""
        return [*self.stray_flags, *self.record_flags]

    @property
    def stray_flags(self) -> Sequence[Flag]:
        """The flags of files that are of no record."""
        return self.kept("flags of strays", tuple[Flag, ...], self.strays)

    @property
    def record_flags(self) -> list[Flag]:
        """The flags of records other than tests."""
        of_files: list[tuple[str, tuple[Flag, ...]]] = []
        for folder in self.site.archive.folders():
            of_files += self.records(folder).flags
        in_order = sorted(of_files, key=itemgetter(0))
        return [one for _, flags in in_order for one in flags]

    @property
    def flags(self) -> list[Flag]:
        """Every flag of every file."""
        of_tests = (flag for row in self.rows for flag in row.flags)
        return [*self.stray_flags, *of_tests, *self.record_flags]

    @property
    def errors(self) -> int:
        """The complete tests with an error, and the other files with one."""
        archive, wrong = self.site.archive, 0
        for folder in archive.folders():
            for _, flags in self.records(folder).flags:
                wrong += any(flag.severity is Severity.ERROR for flag in flags)
        files = {flag.file for flag in self.stray_flags}
        files.update(chain.from_iterable(row.unissued for row in self.rows))
        return sum(row.blocked for row in self.rows) + wrong + len(files)

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
        if path == HOME or IS_PROJECT.fullmatch(path):
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
