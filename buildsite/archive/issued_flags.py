"""Flags of issued and kept files, from the files themselves."""

from collections.abc import Callable, Collection, Iterable, Iterator
from typing import Protocol

from buildsite.archive.identity import group_of, name_of
from buildsite.kinds.outcome import flag_of
from buildsite.record.canonical import digest
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.record.issued import Issued, Item, breaks, kept_name
from buildsite.record.places import SUFFIX
from buildsite.record.source import Source, read_source

RETAINED = "ISO/IEC 17025:2017, 7.5.2 and 8.4: what was issued is kept as it was"
RESTORE = "restore the file as issued: `git log --full-history -- {file}` lists it"

Read = tuple[Issued | None, tuple[Flag, ...]]
"""An issued file as read, and its faults."""


def known(flag: str, says: str) -> Known:
    """Return an error of issued or kept files."""
    return Known(flag, Severity.ERROR, RETAINED, says)


UNREADABLE = known(
    "issued-file-unreadable", "A file of issued revisions can't be read."
)
ANOTHER_TEST = known(
    "issued-for-another-test", "A file of issued revisions names another test."
)
ALTERED = known(
    "issued-item-altered",
    "An issued revision was altered, removed, inserted or moved.",
)
REPORT_MISSING = known(
    "kept-report-missing", "The report of an issued revision was not kept."
)
REPORT_ALTERED = known(
    "kept-report-altered", "The kept report of an issued revision was altered."
)
RESULT_MISSING = known(
    "kept-result-missing", "The result of an issued revision was not kept."
)
RESULT_ALTERED = known(
    "kept-result-altered", "The kept result of an issued revision was altered."
)
PDF_MISSING = known("kept-pdf-missing", "The PDF of an issued report was not kept.")
PDF_ALTERED = known("kept-pdf-altered", "The kept PDF of an issued report was altered.")
NO_TEST = known(
    "issued-without-test", "Issued revisions of a test that does not exist."
)
NOT_ISSUED = known(
    "kept-without-issue", "A kept report or result that no issued revision names."
)
KNOWN = (
    UNREADABLE,
    ANOTHER_TEST,
    ALTERED,
    REPORT_MISSING,
    REPORT_ALTERED,
    RESULT_MISSING,
    RESULT_ALTERED,
    PDF_MISSING,
    PDF_ALTERED,
    NO_TEST,
    NOT_ISSUED,
)

NAMES = frozenset(one.flag for one in KNOWN)


class Flagged(Protocol):
    """Something with flags: a row of a list."""

    @property
    def flags(self) -> tuple[Flag, ...]: ...


def issue_flags_among(rows: Iterable[Flagged]) -> Iterator[Flag]:
    """Return the flags of issued and kept files among the flags of some tests."""
    for row in rows:
        yield from (flag for flag in row.flags if flag.flag in NAMES)


def unreadable_flag(source: Source) -> Flag:
    """Return the flag of an issued file that can't be read; the reader flags where."""
    doubt = Doubt(
        (),
        "a file that can't be read",
        "the issued revisions of this test",
        RESTORE.format(file=source.file),
    )
    return flag_of(UNREADABLE, doubt, source)


def altered_item_flags(issued: Issued) -> Iterator[Flag]:
    """Return the flags of a chain that names another test or is broken."""
    file = issued.source.file
    test = file.rpartition("/")[2].removesuffix(SUFFIX)
    mend = RESTORE.format(file=file)
    if issued.test != test:
        doubt = Doubt(("test",), issued.test, test, mend)
        yield flag_of(ANOTHER_TEST, doubt, issued.source)
    for one in breaks(issued.trees):
        found = f"an item that is {one.what}"
        expected = f"{test} r{one.index} as issued"
        doubt = Doubt(("revisions", one.index), found, expected, mend)
        yield flag_of(ALTERED, doubt, issued.source)


def kept_file_flags(
    issued: Issued,
    test_file: str,
    there: Collection[str],
    read: Callable[[str], bytes],
) -> Iterator[Flag]:
    """
    Return the flags of kept reports and results that are missing or altered.

    `there` are the names of the kept files, `read` gives the bytes of one.
    """
    for index, item in enumerate(issued.items):
        for key, name, sum in files_to_keep(test_file, item):
            missing, other = KEPT[key]
            field = ("revisions", index)
            if sum is None or name not in there:
                found = "no digest of it" if sum is None else "no such file"
                doubt = Doubt(field, found, name, RESTORE.format(file=name))
                yield flag_of(missing, doubt, issued.source)
            elif (now := digest(read(name))) != sum:
                doubt = Doubt(
                    (*field, key), f"{name} of {now}", sum, RESTORE.format(file=name)
                )
                yield flag_of(other, doubt, issued.source)


KEPT = {
    "report": (REPORT_MISSING, REPORT_ALTERED),
    "result": (RESULT_MISSING, RESULT_ALTERED),
    "pdf": (PDF_MISSING, PDF_ALTERED),
}


def files_to_keep(test_file: str, item: Item) -> Iterator[tuple[str, str, str | None]]:
    """Return key, name and digest of what an item keeps: report, result and PDF."""
    if item.is_report:
        yield "report", kept_name(test_file, item.revision, "html"), item.report
    if item.result is not None or item.kind in ("report", "preliminary"):
        yield "result", kept_name(test_file, item.revision, "json"), item.result
    if item.pdf is not None:
        yield "pdf", kept_name(test_file, item.revision, "pdf"), item.pdf


def stray_flags(
    names: Collection[str],
    issued: Iterable[str],
    kept_files: Collection[str],
    chain: Callable[[str], Read],
) -> Iterator[Flag]:
    """Return the flags of issued files without a test, and kept files without issue."""
    there = frozenset(names)
    expected: set[str] = set()
    for file in issued:
        record = file.removesuffix(SUFFIX) + ".yaml"
        expected.update(names_kept(record, *chain(record), kept_files))
        if record not in there or group_of(record) != "test":
            doubt = Doubt((), "no such record", record, RESTORE.format(file=record))
            yield flag_of(NO_TEST, doubt, read_source(file, b""))
    for file in kept_files:
        if file not in expected:
            doubt = Doubt(
                (),
                f"{name_of(file)}, not named by an issued revision",
                "a revision that names it",
                "restore the issued file, or delete this file if it was never issued",
            )
            yield flag_of(NOT_ISSUED, doubt, read_source(file, b""))


def names_kept(
    record: str, issued: Issued | None, faults: tuple[Flag, ...], there: Iterable[str]
) -> Iterator[str]:
    """Return the kept files that an issued file names, or may name if unreadable."""
    if faults:
        stem = f"{record.removesuffix('.yaml')}.r"
        yield from (name for name in there if name.startswith(stem))
    for item in issued.items if issued is not None else ():
        yield from (name for _, name, _ in files_to_keep(record, item))
