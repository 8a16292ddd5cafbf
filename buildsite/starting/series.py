"""From one test of a day's work to the next: the one that is there, or a new one."""

from dataclasses import replace
from datetime import date
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import NewRecord, new_record, proposed_id
from buildsite.archive.identity import name_of
from buildsite.kinds.blank import Answers, Series
from buildsite.kinds.kind import Kind
from buildsite.starting.surroundings import Surroundings, with_resolutions
from buildsite.values import dataclass


@dataclass(frozen=True)
class NextTest:
    """The next test of a series: its file, what is said of it, and how it is made."""

    file: str
    words: str
    kind: Kind[Any, Any]
    answers: Answers
    record: NewRecord | None = None  # None: it is there

    @property
    def typed(self) -> str:
        """Return the question that may be answered instead of yes."""
        series = self.kind.blank.series if self.kind.blank is not None else None
        return series.typed if series is not None and self.record is not None else ""


def series_of(kind: Kind[Any, Any] | None) -> Series | None:
    """Return how records of a kind follow one another, if they do."""
    blank = kind.blank if kind is not None else None
    return blank.series if blank is not None else None


def next_test(archive: Archive, file: str, by: str, on: date) -> NextTest | None:
    """
    Return the test after one of a series; None for other records.

    The next one in progress of the same row, by id; else a new one.
    """
    entry = archive.entry(file)
    series, kind = series_of(entry.kind), entry.kind
    if series is None or kind is None or entry.record is None:
        return None
    for other in archive.files(kind.group):
        if other <= file or other.rpartition("/")[0] != file.rpartition("/")[0]:
            continue
        record = archive.entry(other).record
        if type(record) is not type(entry.record) or record is None:
            continue
        if record.status == "in-progress" and series.same(entry.record, record):
            return NextTest(other, series.words(record), kind, {})
    return new_one(archive, kind, series, dict(series.takes(entry.record)), by, on)


def new_one(
    archive: Archive,
    kind: Kind[Any, Any],
    series: Series,
    answers: dict[str, str],
    by: str,
    on: date,
) -> NextTest:
    """Return a test that is not written yet."""
    answers |= {"by": by, "on": on.isoformat()}
    known = Surroundings(archive, on, by).known(kind, answers)
    whole = {**known, **answers}
    record = with_resolutions(archive, kind, proposed_id(archive, kind, whole), whole)
    after = archive.with_files({record.file: record.text.encode()})
    words = series.words(after.entry(record.file).record)
    return NextTest(record.file, words, kind, whole, record)


def new_in_series(
    archive: Archive,
    kind: Kind[Any, Any],
    file: str,
    given: Answers,
    today: date | None,
) -> NewRecord | None:
    """Return the test after one that is not written yet, with what was answered."""
    series, record = series_of(kind), archive.entry(file).record
    if series is None or record is None:
        return None
    kept = {name: text for name, text in given.items() if name != series.typed}
    answers = {**kept, **series.takes(record)}
    known = Surroundings(archive, today).known(kind, answers)
    whole = {**known, **answers}
    return new_record(kind, proposed_id(archive, kind, whole), whole)


def with_typed(archive: Archive, one: NextTest, text: str) -> NextTest:
    """Return the next test with what was typed in the place of its suggestion."""
    series = series_of(one.kind)
    if series is None or not one.typed:
        return one
    whole = {**one.answers, one.typed: text}
    record = with_resolutions(archive, one.kind, name_of(one.file), whole)
    after = archive.with_files({record.file: record.text.encode()})
    words = series.words(after.entry(record.file).record)
    return replace(one, words=words, answers=whole, record=record)
