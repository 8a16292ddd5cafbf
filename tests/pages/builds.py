"""The whole site of a small archive, made in memory or written to a folder."""

from collections.abc import Iterator
from html import unescape
from pathlib import Path
from re import sub

from buildsite.archive.across import compare_tests, repeated, traces_of, words_by_file
from buildsite.archive.archive import Archive
from buildsite.archive.other_curves import soil_class, stands
from buildsite.kinds.sheet import Plot
from buildsite.kinds.traces import Trace
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.site_pages import index_files
from buildsite.pages.page import site_of
from buildsite.pages.report.draft_pages import render_test as files_of_test
from buildsite.pages.site_sources import Options, SiteSources
from tests.archives import Files


def archive_of(files: Files) -> Archive:
    names = sorted(name for name in files if name.endswith(".yaml"))
    archive = Archive(names, files.__getitem__)
    traces = traces_of(archive, archive.files("test"))
    pairs = repeated(archive, traces)
    compare_tests(archive, traces, pairs)
    archive.repeats = words_by_file(pairs)
    archive.overlaid = frozenset(with_another_curve(archive, traces))
    return archive


def with_another_curve(archive: Archive, traces: list[Trace]) -> Iterator[str]:
    """Yield the tests of whose sample or soil class another test's curve stands."""
    classes = {one.sample: soil_class(archive, one.sample) for one in traces}
    usable = [one for one in traces if one.has_curve and stands(archive, one.file)]
    for trace in traces:
        soil = classes[trace.sample]
        for one in usable:
            same = one.sample == trace.sample or (soil and soil == classes[one.sample])
            if trace.sample and one.sample and one.file != trace.file and same:
                yield trace.file


def made(files: Files, options: Options | None = None) -> dict[str, bytes]:
    """Every file of the site, by its address. No address is given twice."""
    archive, chosen = archive_of(files), options or Options()
    found: dict[str, bytes] = {}
    sources = SiteSources()
    records = archive.files("test")
    tests = [files_of_test(archive, name, chosen, sources) for name in records]
    rows = tuple(test.row for test in tests)
    others = index_files(IndexContext(site_of(archive, chosen), rows))
    for path, data in (*(file for test in tests for file in test.files), *others):
        assert path not in found, path
        found[path] = data
    return found


def page(files: Files, path: str, options: Options | None = None) -> str:
    """The text of one page."""
    return made(files, options)[path].decode()


def written(files: Files, folder: Path, options: Options | None = None) -> Path:
    """The site on disk, where links and styles can be followed."""
    for path, data in made(files, options).items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
    return folder


def plots(files: Files) -> list[Plot]:
    """Every figure of an archive."""
    archive = archive_of(files)
    outcomes = [archive.outcome(name) for name in archive.files("test")]
    return [
        block
        for outcome in outcomes
        if outcome is not None
        for block in outcome.sheet().blocks
        if isinstance(block, Plot)
    ]


def words(data: bytes) -> str:
    """The words of a page, without its marks, a blank between them."""
    return " ".join(unescape(sub("<[^>]*>", " ", data.decode())).split())
