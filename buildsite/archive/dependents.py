"""Which tests rest on which records: who would follow, and who may have moved."""

from collections.abc import Iterable, Sequence

from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_asked, group_of, name_of
from buildsite.record.issued import SUFFIX


def dependents(archive: Archive, files: Iterable[str]) -> list[str]:
    """
    Tests that rest on some records, by what they name or through others; sorted.

    Only files whose text holds the id of one that is looked for are read as records.

    Parameters
    ----------
    archive
        The state that is looked at.
    files
        Names of records; they are not among the tests found, unless they rest on
        each other.
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
    Records that name one of these files themselves.

    `itself`: a change of the file is what matters, and not of what it rests on: then
    who asks for what is written in it alone counts too.
    """
    if any(group_of(file) == "laboratory" for file in files):
        return list(archive.names)
    wanted = {(group_of(file), name_of(file)) for file in files}
    ids = [name.encode() for _, name in sorted(wanted)]
    return [
        file
        for file in archive.names
        if holds_any(archive.read_file(file), ids)
        and asks_any(archive, file, wanted, itself=itself)
    ]


def holds_any(data: bytes, ids: Sequence[bytes]) -> bool:
    """Whether a text holds one of these ids."""
    return any(id in data for id in ids)


def asks_any(
    archive: Archive, file: str, wanted: set[tuple[str, str]], *, itself: bool
) -> bool:
    """Whether a record asks one of these."""
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
    Records that are not in both states, or not with the same bytes.

    A test of which something was issued between the two counts as changed: what others
    take from it did.
    """
    changed = set(files_differing(old, new, old.names, new.names))
    for name in files_differing(old, new, old.issued, new.issued):
        changed.add(f"{name.removesuffix(SUFFIX)}.yaml")
    return sorted(changed)


def files_differing(
    old: Archive, new: Archive, these: Iterable[str], those: Iterable[str]
) -> set[str]:
    """Files that are not in both states, or not with the same bytes."""
    before, after = frozenset(these), frozenset(those)
    both = before & after
    changed = {file for file in both if old.read_file(file) != new.read_file(file)}
    return changed | (before ^ after)


def changed_tests(old: Archive, new: Archive) -> list[str]:
    """
    Ids of tests that may have moved: they changed, or what they rest on did.

    Ids and not files, for a record may have been put into another folder.
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
    """Ids of the tests that would follow if a test were issued."""
    return [name_of(one) for one in dependents(archive, [file]) if one != file]
