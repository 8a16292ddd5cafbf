"""Which tests use which records: tests affected, tests that may have changed."""

import re
from collections.abc import Iterable, Mapping, Sequence

from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_asked, group_of, name_of
from buildsite.archive.references import tests_relied_on
from buildsite.asked import Names, aside, ask
from buildsite.record.places import SUFFIX


def dependents(archive: Archive, files: Iterable[str]) -> list[str]:
    """
    Return the tests that use some records, directly or through others; sorted.

    The records themselves are among them only if they use each other. Only files in
    whose text one of the ids is a word are parsed.
    """
    found: set[str] = set()
    wave, itself = sorted(set(files)), True
    while wave:
        nearer = set(records_asking(archive, wave, itself=itself)) - found
        found |= nearer
        wave, itself = sorted(nearer), False
    return sorted(file for file in found if group_of(file) == "test")


def records_asking(
    archive: Archive, files: Sequence[str], *, itself: bool
) -> list[str]:
    """
    Return the records that name one of these files.

    `itself`: the files themselves changed, not only records that they use; so records
    that use only what is written in them count too.
    """
    if any(group_of(file) == "laboratory" for file in files):
        return list(archive.names)
    wanted = {(group_of(file), name_of(file)) for file in files}
    near = {file for _, name in wanted for file in files_with(archive, name)}
    return [
        file for file in sorted(near) if asks_any(archive, file, wanted, itself=itself)
    ]


def files_with(archive: Archive, id: str) -> Sequence[str]:
    """Return the records in whose text an id is a word."""

    def words() -> Mapping[str, Sequence[str]]:
        return archive.files_by_word.get("", lambda: files_by_word(archive))

    if not isinstance(archive.names, Names):
        return words().get(id, ())
    ask("word", id)  # in place of every text
    with aside():
        return words().get(id, ())


WORD = re.compile(rb"[A-Za-z0-9._-]+")
"""As much of a text as can be an id: what stands beside an id can be in none."""


def files_by_word(archive: Archive) -> Mapping[str, Sequence[str]]:
    """Return the records in whose text an id is a word, by that id."""
    ids = {name_of(file).encode() for file in archive.names}
    found: dict[str, list[str]] = {}
    for file in archive.names:
        for word in ids.intersection(WORD.findall(archive.read_file(file))):
            found.setdefault(word.decode(), []).append(file)
    return found


def asks_any(
    archive: Archive, file: str, wanted: set[tuple[str, str]], *, itself: bool
) -> bool:
    """Whether a record uses one of these."""
    entry = archive.entry(file)
    if entry.kind is None or entry.record is None:
        return False
    return any(
        (group_asked(ref), ref.id) in wanted
        for ref in entry.kind.needs(entry.record)
        if itself or not ref.bare
    )


def files_changed(old: Archive, new: Archive) -> list[str]:
    """
    Return the records that differ between two states.

    A test issued between the two counts as changed: other tests use its report.
    """
    changed = set(files_differing(old, new, old.names, new.names))
    for name in files_differing(old, new, old.issued, new.issued):
        changed.add(f"{name.removesuffix(SUFFIX)}.yaml")
    return sorted(changed)


def files_differing(
    old: Archive, new: Archive, these: Iterable[str], those: Iterable[str]
) -> set[str]:
    """Return the files that are not in both states with the same bytes."""
    before, after = frozenset(these), frozenset(those)
    both = before & after
    changed = {file for file in both if old.read_file(file) != new.read_file(file)}
    return changed | (before ^ after)


def changed_tests(old: Archive, new: Archive) -> list[str]:
    """
    Return the ids of tests that may have changed: their record or one that they use.

    Ids, not files: a record may have been moved to another folder.
    """
    changed = files_changed(old, new)
    found: set[str] = set()
    for archive in (old, new):
        names = frozenset(archive.names)
        here = [file for file in changed if file in names]
        found.update(dependents(archive, here))
        found.update(file for file in here if group_of(file) == "test")
    return sorted({name_of(file) for file in found})


def ids_of_dependents(archive: Archive, file: str) -> list[str]:
    """Return the ids of the tests affected if a test is issued."""
    return [name_of(one) for one in dependents(archive, [file]) if one != file]


def in_order(archive: Archive, files: Sequence[str]) -> list[str]:
    """Sort tests so that each comes after those it uses."""
    done: list[str] = []

    def take(file: str, above: frozenset[str]) -> None:
        entry = archive.entry(file)
        if file in done or file in above:
            return
        refs = entry.kind.needs(entry.record) if entry.kind and entry.record else ()
        for _, _, other in tests_relied_on(archive, refs):
            if other in files:
                take(other, above | {file})
        done.append(file)

    for file in sorted(files):
        take(file, frozenset())
    return done
