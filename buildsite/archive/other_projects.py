"""What a record takes from samples and tests of other projects."""

from collections.abc import Iterable, Iterator

from buildsite.archive.identity import group_asked, group_of, name_of
from buildsite.archive.records import Records
from buildsite.archive.references import tests_relied_on
from buildsite.kinds.kind import Ref
from buildsite.kinds.outcome import flag_of
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.record.places import SUFFIX
from buildsite.record.source import Source
from buildsite.values import dataclass

TEST_OF_ANOTHER = Known(
    "test-of-another-project",
    Severity.WARNING,
    "ISO/IEC 17025:2017, 4.2: results are confidential to the customer",
    "A record uses a test of another project.",
)
KNOWN = (TEST_OF_ANOTHER,)


def project_of(file: str) -> str:
    """
    Return the project of a file, by its folder; empty for what projects share.

    >>> project_of("records/heron-flats/tests/HF-0117.issued.yaml#1")
    'heron-flats'
    >>> project_of("records/equipment/M-04.yaml"), project_of("records/lab.yaml")
    ('', '')
    """
    shared = group_of(file) in ("equipment", "laboratory", "")
    return "" if shared else file.split("/")[1]


@dataclass(frozen=True)
class Borrowed:
    """A record of another project that a record takes something from."""

    ref: Ref  # the record's own reference
    group: str  # sample | test
    id: str
    file: str


def borrowed(records: Records, file: str, refs: Iterable[Ref]) -> Iterator[Borrowed]:
    """Yield what a record takes from other projects, directly or through others."""
    own, asked = project_of(file), tuple(refs)
    for ref in asked:
        there = records.find("sample", ref.id) if group_asked(ref) == "sample" else None
        if there is not None and project_of(there) != own:
            yield Borrowed(ref, "sample", ref.id, there)
    for ref, inner, there in tests_relied_on(records, asked):
        if project_of(there) != own:
            yield Borrowed(ref, "test", inner.id, there)


def flags_of_borrowed(
    records: Records, source: Source, refs: Iterable[Ref]
) -> Iterator[Flag]:
    """
    Return the flags of tests of other projects; a sample has a rule of the test's.

    A report prints a flag, so only what it rests on is named, not whose that is.
    """
    for one in borrowed(records, source.file, refs):
        if one.group != "test":
            continue
        through = f", named by {one.ref.id}" if one.ref.id != one.id else ""
        doubt = Doubt(
            one.ref.field,
            f"{one.id}{through}, of another project",
            f"a test of {project_of(source.file)}",
            "check the number; if it is right, name a test of this project or state "
            "the value itself with its basis: no report may tell one customer of "
            "another",
        )
        yield flag_of(TEST_OF_ANOTHER, doubt, source)


def projects_reached(records: Records, file: str) -> set[str]:
    """
    Return every project that a test's reports rest on, or that its record names now.

    By the inputs of every item ever issued, which moved with no folder, and by what
    each of these names in turn.
    """
    waiting, seen, found = [file], set[str](), set[str]()
    while waiting:
        one = waiting.pop()
        if one in seen:
            continue
        seen.add(one)
        found.add(project_of(one))
        waiting += [name for name in beside(records, one) if project_of(name)]
    return found - {""}


def beside(records: Records, file: str) -> Iterator[str]:
    """Yield the records that one names now, and those that its reports came from."""
    if file in records.known_names:
        entry = records.entry(file)
        named = getattr(entry.record, "project", None)
        if named:
            yield f"records/{named}/project.yaml"
        for ref in entry.refs:
            there = records.find(group_asked(ref), ref.id)
            if there is not None:
                yield there
    issued, _ = records.chain(file) if group_of(file) == "test" else (None, ())
    for item in issued.items if issued is not None else ():
        for path in item.inputs:
            name = path.partition("#")[0]
            there = records.home(name_of(name.replace(SUFFIX, ".yaml")))
            yield name.replace(SUFFIX, ".yaml")
            if SUFFIX in name and there is not None:
                yield there
