"""
Issued verdicts whose reference was amended: which were judged again, and which wait.

A report names the report of each test that it rests on, with its revision. So this is
told by what was issued alone, and clients may see it.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from buildsite.archive.archive import Archive
from buildsite.archive.follows import gives_verdict, resting_on
from buildsite.archive.identity import name_of
from buildsite.archive.references import last_report, result_of
from buildsite.kinds import kind_named
from buildsite.kinds.follows import Follow
from buildsite.record.issued import Item, pins_of
from buildsite.values import dataclass

Pins = Mapping[str, int]
"""Test → the revision of it that a report rests on."""


@dataclass(frozen=True)
class Amended:
    """A reference of which another report is to be used: its id and both revisions."""

    id: str
    was: int
    now: int
    withdrawn: bool = False

    @property
    def words(self) -> str:
        """
        Which report takes the place of which.

        >>> Amended("HF-0117", 0, 1).words, Amended("HF-0117", 0, 1, True).words
        ('HF-0117 r1 in place of r0', 'HF-0117 r0 withdrawn')
        """
        if self.withdrawn:
            return f"{self.id} r{self.was} withdrawn"
        return f"{self.id} r{self.now} in place of r{self.was}"


@dataclass(frozen=True)
class JudgedAgain:
    """
    An issued verdict after an amendment of what it rests on.

    `after` is the report that judged again, None while the test waits for it; `follow`
    compares the two reports, or the one with itself; None if they were not kept.
    """

    file: str
    amended: tuple[Amended, ...]
    before: Item
    after: Item | None = None
    follow: Follow | None = None

    @property
    def id(self) -> str:
        """The test's id."""
        return name_of(self.file)

    @property
    def why(self) -> str:
        """Which references were amended."""
        return "; ".join(one.words for one in self.amended)


def reports_of(archive: Archive, file: str) -> list[Item]:
    """Return the reports of a test that gave a result."""
    issued, _ = archive.chain(file)
    items = issued.items if issued is not None else ()
    return [one for one in items if one.is_report and one.kind != "withdrawal"]


def references_of(archive: Archive, item: Item) -> dict[str, int]:
    """Return the tests that a report took values from; a verdict is no reference."""
    return {
        file: revision
        for file, revision in pins_of(item.inputs).items()
        if file not in archive.known_names or not gives_verdict(archive, file)
    }


def references_through(archive: Archive, item: Item) -> dict[str, int]:
    """Return the tests that a report rests on, directly or through their reports."""
    found: dict[str, int] = {}
    waiting = [item]
    while waiting:
        for file, revision in references_of(archive, waiting.pop()).items():
            if file not in found:
                found[file] = revision
                issued, _ = archive.chain(file)
                items = issued.items if issued is not None else ()
                waiting += items[revision : revision + 1]
    return found


def amended_between(old: Pins, new: Pins) -> tuple[Amended, ...]:
    """Return the references of which two reports used different revisions."""
    return tuple(
        Amended(name_of(file), old[file], new[file])
        for file in sorted(old.keys() & new.keys())
        if old[file] != new[file]
    )


def follow_of_reports(
    archive: Archive, file: str, before: Item, after: Item
) -> Follow | None:
    """Return what became of a verdict between two reports, from the kept results."""
    results = [result_of(archive, file, item) for item in (before, after)]
    kind = kind_named(str(results[1].get("kind")))
    if kind is None or kind.follows is None or not all(results):
        return None
    return kind.follows(*results)


def judged_again(archive: Archive, file: str) -> Iterator[JudgedAgain]:
    """Yield each report of a test that judged again, after an amendment."""
    for before, after in pairwise(reports_of(archive, file)):
        pins = [references_through(archive, one) for one in (before, after)]
        amended = amended_between(*pins)
        if amended:
            follow = follow_of_reports(archive, file, before, after)
            yield JudgedAgain(file, amended, before, after, follow)


def to_judge_again(archive: Archive, file: str) -> JudgedAgain | None:
    """Return an issued verdict whose reference was amended since; None if none was."""
    last = last_report(archive, file)
    if last is None or last.item.kind == "withdrawal":
        return None
    amended = tuple(amended_since(archive, last.item))
    if not amended:
        return None
    follow = follow_of_reports(archive, file, last.item, last.item)
    return JudgedAgain(file, amended, last.item, None, follow)


def amended_since(archive: Archive, item: Item) -> Iterator[Amended]:
    """Yield the references that were amended or withdrawn since a report used them."""
    for file, revision in sorted(references_of(archive, item).items()):
        last = last_report(archive, file)
        if last is not None and last.item.revision != revision:
            withdrawn = last.item.kind == "withdrawal"
            yield Amended(name_of(file), revision, last.item.revision, withdrawn)


def judged_by_both(
    archive: Archive, file: str, before: int, after: int
) -> Iterator[JudgedAgain]:
    """
    Yield each issued verdict that rested on a revision of a test.

    With the report that judged again by another revision of it, if there is one.
    """
    for judged in resting_on(archive, [file]).judged:
        sent = [
            (item, references_through(archive, item).get(file))
            for item in reports_of(archive, judged)
        ]
        olds = [item for item, revision in sent if revision == before]
        news = [item for item, revision in sent if revision == after]
        if olds:
            new = news[0] if news else None
            follow = follow_of_reports(archive, judged, olds[-1], new or olds[-1])
            amended = (Amended(name_of(file), before, after),)
            yield JudgedAgain(judged, amended, olds[-1], new, follow)
