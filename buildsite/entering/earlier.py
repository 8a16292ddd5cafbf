"""What earlier tests of the same or a like soil came to."""

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.records import Entry
from buildsite.kinds.answers import SampleFacts
from buildsite.kinds.bench_spec import EarlierMean
from buildsite.kinds.outcome import method_of
from buildsite.record.messages import join_choices
from buildsite.standards.method import Method

MOST = 10
"""Earlier tests that are computed, the latest: enough for a mean at the bench."""


def earlier_mean(archive: Archive, file: str) -> EarlierMean:
    """
    Return what gives the mean of a result over earlier tests like one test.

    Tests of the same sample at the same effort; else of the same soil and source; else
    of the same class in this project.
    """

    def mean(result: str) -> tuple[float, str] | None:
        made = archive.outcome(file)
        if made is None:
            return None
        sample = made.case.inputs.get(SampleFacts, made.case.record.sample)
        effort = effort_of(made.case.method)
        others = [
            entry
            for entry in finished(archive, file)
            if effort_of(method_of(entry.record, made.kind.standards_of)) == effort
        ]
        for words, alike in likenesses(archive, made.case.record, sample):
            found = values_of(archive, filter(alike, others), result)
            if found:
                ids = join_choices([id for id, _ in found])
                return sum(value for _, value in found) / len(found), f"{ids}, {words}"
        return None

    return mean


def finished(archive: Archive, file: str) -> Iterator[Entry]:
    """Complete tests of the same kind, this one apart."""
    kind = archive.entry(file).kind
    for name in archive.files("test"):
        entry = archive.entry(name)
        done = getattr(entry.record, "status", "") == "complete"
        if name != file and done and entry.kind is kind:
            yield entry


def effort_of(method: Method | None) -> str:
    """Return the compactive effort of a method; nothing where there is none."""
    cell = method.optional("effort") if method is not None else None
    return cell.value if cell is not None else ""


def likenesses(
    archive: Archive, own: Any, sample: SampleFacts | None
) -> Iterator[tuple[str, Callable[[Entry], bool]]]:
    """How near another test is to this one, the nearest first, with words for it."""
    yield "of the same sample", lambda entry: entry.record.sample == own.sample
    if sample is None or not sample.soil_class:
        return

    def soil(entry: Entry) -> Any:
        name = archive.find("sample", entry.record.sample)
        record = archive.entry(name).record if name is not None else None
        return getattr(record, "soil", None)

    def same_class(entry: Entry) -> bool:
        return getattr(soil(entry), "class_", None) == sample.soil_class

    if sample.soil_source:
        yield (
            f"of the same soil ({sample.soil_class}, {sample.soil_source})",
            lambda entry: (
                same_class(entry)
                and getattr(soil(entry), "source", None) == sample.soil_source
            ),
        )
    yield (
        f"of the same class ({sample.soil_class}) in this project",
        lambda entry: same_class(entry) and entry.record.project == own.project,
    )


def values_of(
    archive: Archive, entries: Iterable[Entry], result: str
) -> list[tuple[str, float]]:
    """Return a result of each of the latest tests that has it, by id."""
    found = []
    for entry in sorted(entries, key=by_day)[-MOST:]:
        made = archive.outcome(entry.file)
        if made is not None and result in made.results:
            found.append((made.id, made.results[result].value))
    return found


def by_day(entry: Entry) -> tuple[str, str]:
    """Return what puts tests in the order in which they were made."""
    act = getattr(entry.record, entry.record.work.act)
    return str(act.on), entry.file
