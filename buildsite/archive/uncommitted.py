"""Which records are made of files that are not as committed."""

from collections.abc import Collection, Iterator

from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_asked, group_of, name_of
from buildsite.asked import Names, ask
from buildsite.record.issued import issued_name, kept_name

KEPT = ("html", "json", "pdf")


def is_uncommitted(archive: Archive, file: str, uncommitted: Collection[str]) -> bool:
    """
    Whether a record, what was issued of it, or a record it uses is not as committed.

    A record that it names and that is gone from the folder counts too.
    """
    own = {file, issued_name(file), *kept_files(archive, file), *used(archive, file)}
    named = {(group_asked(ref), ref.id) for ref in archive.entry(file).refs}
    for path in own:
        ask("uncommitted", path)
    for group, id in named:
        ask("gone", group, id)
    return not own.isdisjoint(uncommitted) or any(
        is_gone(archive, *one, uncommitted) for one in named
    )


def used(archive: Archive, file: str) -> Iterator[str]:
    """Yield the files that the outcome of a record came from."""
    made = archive.computed(file)
    for name in made.inputs if made is not None else ():
        yield name.partition("#")[0]


def kept_files(archive: Archive, file: str) -> Iterator[str]:
    """Yield the names of the kept reports and results of a test."""
    issued, _ = archive.chain(file)
    for item in issued.items if issued is not None else ():
        for suffix in KEPT:
            yield kept_name(file, item.revision, suffix)


def is_gone(
    archive: Archive, group: str, id: str, uncommitted: Collection[str]
) -> bool:
    """Whether a record was committed and is gone from the folder."""
    names = archive.known_names
    there = names.holds if isinstance(names, Names) else names.__contains__
    return any(
        (group_of(path), name_of(path)) == (group, id) and not there(path)
        for path in uncommitted
    )
