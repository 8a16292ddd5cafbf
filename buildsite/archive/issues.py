"""All issued items of the archive: their order, and what clients may see."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from functools import cached_property
from itertools import pairwise

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.issued_files import Together
from buildsite.archive.other_projects import projects_reached
from buildsite.archive.references import last_report
from buildsite.archive.unpublished import Unpublished, told_of, unpublished
from buildsite.record.commits import Commit, Past
from buildsite.record.issued import ITEM_BEGINS, Issued, Item
from buildsite.record.messages import some_of
from buildsite.record.places import SUFFIX
from buildsite.values import dataclass

Place = tuple[int, int]
"""
Order of an item: places, counted back from the newest, of the commit on the published
branch that brought it, and of the commit that wrote it (one merge may bring several).
"""

UNPLACED = -1
"""Place of an item not committed: before all others."""


@dataclass(frozen=True)
class Writings:
    """
    Commits, newest first, and which of them wrote the issued file of a test.

    `merges`: a merge that took a file from a branch counts as writing it.
    """

    past: Past | None
    commits: Sequence[Commit]
    merges: bool = True

    @cached_property
    def _touched(self) -> dict[str, list[tuple[int, str]]]:
        """Test → place and path of each commit that wrote its chain, oldest first."""
        found: dict[str, list[tuple[int, str]]] = {}
        for back, commit in enumerate(reversed(self.commits), start=1):
            place = len(self.commits) - back
            for touch in commit.touches:
                wrote = touch.new and (self.merges or touch.inside)
                if wrote and touch.path.endswith(SUFFIX):
                    id = touch.path.rpartition("/")[2].removesuffix(SUFFIX)
                    found.setdefault(id, []).append((place, touch.path))
        return found

    def places(self, id: str, items: int) -> Sequence[int]:
        """Return the place of the commit that first had each item of a test's chain."""
        touched = self._touched.get(id, ()) if items else ()
        if len(touched) == items:
            return [place for place, _ in touched]  # one each: no file is read
        places: list[int] = []
        for place, path in touched:
            commit = self.commits[place].id
            data = self.past.read(commit, path) if self.past is not None else None
            places += [place] * (len(ITEM_BEGINS.findall(data or b"")) - len(places))
        return [*places, *([UNPLACED] * items)][:items]


@dataclass(frozen=True)
class Released:
    """
    Ids that clients may see. `samples` is None until the tests are rendered.

    Each released test names its sample, which then gets a page. `withheld` has, by
    test, why an issued test of a published project is not released.
    """

    tests: frozenset[str]
    projects: frozenset[str]
    samples: frozenset[str] | None = None
    withheld: Mapping[str, str] = field(default_factory=dict)
    secret: Unpublished = field(default_factory=Unpublished)
    doubtful: tuple[str, ...] = ()  # plain words in reports that may be names
    families: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By project/family, the members with a valid report of their own."""

    def has(self, what: str, id: str) -> bool:
        """Whether clients see a page of it."""
        if what == "sample" and self.samples is None:
            return True
        shown = {
            "test": self.tests,
            "project": self.projects,
            "sample": self.samples or frozenset(),
            "family": self.families,
        }
        return id in shown.get(what, frozenset())


def released_of(archive: Archive) -> Released:
    """
    Return the issued tests of projects that may be published, and the projects.

    A test is withheld if it rests on a project that is not published, or if a report
    of it names one.
    """
    projects = frozenset(published(archive))
    secret = unpublished(archive, projects)
    tests, theirs, withheld = set(), set(), {}
    doubtful: dict[str, list[str]] = {}
    for file in archive.files("test"):
        issued, _ = archive.chain(file)
        project = file.split("/")[1]
        if project not in projects or issued is None or issued.last_report is None:
            continue
        if not archive.has_page(file):
            continue
        why = why_withheld(archive, file, issued, projects, secret)
        if why:
            withheld[name_of(file)] = why
            continue
        for word in doubtful_words(archive, file, issued, secret):
            doubtful.setdefault(word, []).append(issued.test)
        tests.add(name_of(file))
        theirs.add(project)
    return Released(
        frozenset(tests),
        frozenset(theirs),
        families=dict(families_shown(archive, theirs, tests)),
        withheld=withheld,
        secret=secret,
        doubtful=tuple(
            f"reports of {some_of(tests, MOST_NAMED)} have the word {word}, which is "
            f"also a name or id of {secret.project(word)}, not published"
            for word, tests in sorted(doubtful.items())
        ),
    )


def families_shown(
    archive: Archive, projects: Collection[str], tests: Collection[str]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the families of some projects with their members that clients see."""
    for file in archive.files("family"):
        project, record = file.split("/")[1], archive.entry(file).record
        if project not in projects or record is None or not archive.has_page(file):
            continue
        members = (id for id in dict.fromkeys(members_named(record)) if id in tests)
        shown = tuple(id for id in members if stands_issued(archive, id))
        if shown:
            yield f"{project}/{name_of(file)}", shown


def members_named(record: object) -> tuple[str, ...]:
    """Return the members that a family names."""
    named: tuple[str, ...] = getattr(record, "members", ())
    return named


def stands_issued(archive: Archive, id: str) -> bool:
    """Whether the last report of a test stands."""
    file = archive.home(id)
    last = last_report(archive, file) if file is not None else None
    return last is not None and last.item.kind != "withdrawal"


def published(archive: Archive) -> Iterator[str]:
    """Yield the projects that may be published."""
    for file in archive.files("project"):
        made = archive.outcome(file)
        if made is not None and made.case.record.publish:
            yield name_of(file)


def why_withheld(
    archive: Archive,
    file: str,
    issued: Issued,
    projects: frozenset[str],
    secret: Unpublished,
) -> str:
    """Return why a test may not be released; empty if it may."""
    others = sorted(projects_reached(archive, file) - projects)
    if others:
        return f"it rests on records of {', '.join(others)}, which is not published"
    for item in issued.items:
        for name, data in told_of(archive, file, item):
            told = secret.told(name, data)
            if told:
                projects_named = sorted({secret.project(word) for word in told})
                return (
                    f"r{item.revision} names {', '.join(told)} of "
                    f"{', '.join(projects_named)}, which is not published"
                )
    return ""


def doubtful_words(
    archive: Archive, file: str, issued: Issued, secret: Unpublished
) -> set[str]:
    """Return the plain words in the reports of a test that may be another's name."""
    return {
        word
        for item in (issued.items if secret.words else ())
        for name, data in told_of(archive, file, item)
        for word in secret.perhaps(name, data)
    }


MOST_NAMED = 5
"""Most tests named beside a doubtful word."""


def change_key(before: Item, after: Item, path: str) -> str:
    """Return a key for one change of one file: its two digests."""
    return f"{path} {before.inputs.get(path, '')} {after.inputs.get(path, '')}"


def amended_together(archive: Archive) -> Together:
    """Return the tests, with revision, amended after one change of an input."""
    return together(changes_amended(archive, file) for file in archive.files("test"))


def together(every: Iterable[Sequence[tuple[str, str, int]]]) -> Together:
    """Return the tests amended after one change, of the changes of each."""
    found: dict[str, list[tuple[str, int]]] = {}
    for changes in every:
        for key, test, revision in changes:
            found.setdefault(key, []).append((test, revision))
    return {key: tuple(tests) for key, tests in found.items() if len(tests) > 1}


def changes_amended(archive: Archive, file: str) -> tuple[tuple[str, str, int], ...]:
    """Return each change of an input after which a test was amended."""
    issued, _ = archive.chain(file)
    sent = [one for one in (issued.items if issued else ()) if one.result]
    return tuple(
        (change_key(before, after, path), name_of(file), after.revision)
        for before, after in pairwise(sent)
        for path in sorted({*before.inputs, *after.inputs} - {file})
        if before.inputs.get(path) != after.inputs.get(path)
    )
