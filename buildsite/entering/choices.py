"""What the archive offers for an answer: equipment, tests of the sample, warnings."""

from dataclasses import replace

from buildsite.archive.identity import name_of
from buildsite.entering.answer_check import WorkingRecord
from buildsite.entering.messages import MOST_OFFERED
from buildsite.entering.questions import Question
from buildsite.kinds.bench_spec import Reading
from buildsite.record.flags import Severity


def with_choices(record: WorkingRecord, question: Question) -> Question:
    """Return a question about equipment with the archive's choices."""
    reading = question.reading
    archive = record.archive
    if reading.takes == "acceptance":
        return replace(question, reading=with_warnings(record, reading))
    if reading.takes in ("test", "gravity"):
        return replace(question, reading=with_tests(record, reading))
    if reading.takes != "equipment" or not reading.of:
        return question
    ids = [
        name_of(file)
        for file in archive.files("equipment")
        if (kind := archive.entry(file).kind) is not None and kind.name == reading.of
    ]
    return replace(question, reading=replace(reading, choices=tuple(ids)))


def with_warnings(record: WorkingRecord, reading: Reading) -> Reading:
    """Return a reading with the open warnings of the record."""
    made = record.archive.outcome(record.file)
    names = [
        flag.flag
        for flag in (made.flags if made is not None else ())
        if flag.severity is Severity.WARNING and not flag.accepted_by
    ]
    return replace(reading, choices=tuple(dict.fromkeys(names)))


def with_tests(record: WorkingRecord, reading: Reading) -> Reading:
    """Return a reading with the tests of this sample that may answer it."""
    archive = record.archive
    own = archive.entry(record.file).record
    sample = getattr(own, "sample", None) or getattr(own, "id", "")
    ids = [
        name_of(file)
        for file in archive.files("test")
        if file != record.file
        and (entry := archive.entry(file)).kind is not None
        and entry.kind.name == reading.of
        and (getattr(entry.record, "sample", None) or "") == sample
    ][-MOST_OFFERED:]
    return replace(reading, choices=tuple(ids))
