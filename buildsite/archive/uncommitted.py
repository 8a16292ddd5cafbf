"""Which records are made of files that are not as committed."""

import re
from collections.abc import Collection

from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_asked, group_of, name_of
from buildsite.record.issued import issued_name

KEPT = re.compile(r"\.r[0-9]+\.(html|json|pdf)$")
"""End of the name of a kept report or result."""


def is_uncommitted(archive: Archive, file: str, uncommitted: Collection[str]) -> bool:
    """
    Whether a record, what was issued of it, or a record it uses is not as committed.

    A record that it names and that is gone from the folder counts too.
    """
    if not uncommitted:
        return False
    made, entry = archive.computed(file), archive.entry(file)
    used = {name.partition("#")[0] for name in made.inputs} if made is not None else ()
    own = {file, issued_name(file), *used}
    stem = file.removesuffix(".yaml")
    if any(path in own or KEPT.sub("", path) == stem for path in uncommitted):
        return True
    missing = [path for path in uncommitted if path not in archive.known_names]
    gone = {(group_of(path), name_of(path)) for path in missing}
    return any((group_asked(ref), ref.id) in gone for ref in entry.refs)
