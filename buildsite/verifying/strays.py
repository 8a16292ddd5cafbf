"""What stands beside issued items and belongs to none: files, places and comments."""

import re
from collections.abc import Iterator

from buildsite.archive.identity import FOLDERS, group_of, name_of
from buildsite.archive.issued_flags import files_to_keep
from buildsite.history.run import is_record
from buildsite.history.walk import History
from buildsite.record.comments import comments_in
from buildsite.record.places import SUFFIX
from buildsite.record.proof import Fault
from buildsite.verifying.items import AGAIN, IssuedChain, Items

KEPT = re.compile(
    r"(?P<stem>.+)\.r(?P<revision>[0-9]+)\.(?:html?|json|pdf)",
    re.IGNORECASE | re.DOTALL,
)
"""Name of a kept file, or one that could be taken for it."""


def stray_faults(items: Items) -> Iterator[Fault]:
    """Yield the faults of kept files, records and comments that belong to no item."""
    yield from strays_kept(items)
    yield from records_not_read(items)
    yield from issued_where_not_read(items)
    for chained in items.chains:
        yield from comments_beside(items, chained)


def strays_kept(items: Items) -> Iterator[Fault]:
    """Yield the files named like kept ones that no item keeps."""
    expected = {
        file
        for chained in items.chains
        for item in chained.issued.items
        for _, file, _ in files_to_keep(chained.record, item)
    }
    chains = {stem_of(one.path).casefold(): one for one in items.chains}
    for name in items.names:
        found = KEPT.fullmatch(name)
        if found is None or name in expected or not in_test_folder(name):
            continue
        stem = found["stem"]
        chained = chains.get(stem.casefold())
        if chained is None and stem + SUFFIX in items.names:
            continue  # an issued file that can't be read has its own fault
        test = chained.test if chained is not None else name_of(f"{stem}.yaml")
        what = why_stray(found["revision"], chained)
        mend = (
            f"remove {name} in a commit that says why, if it was never sent; else ask "
            "who committed it, and restore the name it was issued under"
        )
        commit = last_touch(items.history, name)
        yield Fault(test, int(found["revision"]), name, commit, what, mend)


TEST_FOLDERS = [folder for folder, group in FOLDERS.items() if group == "test"]


def in_test_folder(name: str) -> bool:
    """
    Whether a file stands in a folder of tests.

    >>> in_test_folder("records/p/daily/A-1.r0.html"), in_test_folder("r/p/a.html")
    (True, False)
    """
    return any(f"/{folder}/" in name for folder in TEST_FOLDERS)


def why_stray(number: str, chained: IssuedChain | None) -> str:
    """Return why a file is none that was kept."""
    revision = int(number)
    if chained is None or revision >= len(chained.issued.items):
        return "kept without an issued item"
    item = chained.issued.items[revision]
    keeps = [file for _, file, _ in files_to_keep(chained.record, item)]
    if keeps:
        names = " and ".join(file.rpartition("/")[2] for file in keeps)
        return f"named like a kept file, but r{revision} keeps {names}"
    return f"named like a kept file, but r{revision} is an {item.kind}: it keeps none"


def issued_where_not_read(items: Items) -> Iterator[Fault]:
    """Yield the issued tests whose record stands where no record is read."""
    for chained in items.chains:
        record = chained.record
        if record in items.names and not is_read(record):
            what = "issued, but its record is where the archive reads none: it is lost"
            yield lost(items.history, chained.test, record, what)


Record = tuple[str, str]
"""Group and id of a record."""


def records_not_read(items: Items) -> Iterator[Fault]:
    """Yield the records that were moved to where the archive reads none."""
    issued = {one.record for one in items.chains}
    there = {record_of(name) for name in items.names if is_read(name)}
    for name in items.names:
        hidden = name.endswith(".yaml") and not is_record(name)
        if not hidden or name.endswith(SUFFIX) or name in issued:
            continue
        gone = sorted(records_held(items.history, name) - there)
        if gone:
            id = gone[0][1]
            what = f"the record of {id} is where the archive reads none: it is lost"
            yield lost(items.history, "", name, what)


def records_held(history: History, name: str) -> set[Record]:
    """Return the records that a file was elsewhere, by its id and by its contents."""
    id = name_of(name).removeprefix(".")
    blobs = {t.new for c in history.commits for t in c.touches if t.path == name}
    return {
        record_of(touch.path)
        for commit in history.commits
        for touch in commit.touches
        if is_read(touch.path)
        and (name_of(touch.path) == id or (touch.new and touch.new in blobs))
    }


def record_of(name: str) -> Record:
    """Return group and id of a record's file."""
    return group_of(name), name_of(name)


def is_read(name: str) -> bool:
    """
    Whether the archive reads a file as a record.

    >>> is_read("records/p/tests/A-1.yaml"), is_read("records/.attic/tests/A-1.yaml")
    (True, False)
    """
    return is_record(name) and bool(group_of(name))


def lost(history: History, test: str, file: str, what: str) -> Fault:
    """Return the fault of a record in a place that is not read."""
    mend = (
        "move it back with `git mv` to a folder of its project whose name doesn't "
        "begin with a dot, with all that was issued of it"
    )
    return Fault(test, None, file, last_touch(history, file), what, mend)


def comments_beside(items: Items, chained: IssuedChain) -> Iterator[Fault]:
    """Yield the comments in an issued file: no digest covers them."""
    for line, text in comments_in(chained.issued.source.data):
        what = f"a comment in line {line}, which no item's digest covers: {text}"
        commit = last_touch(items.history, chained.path)
        mend = f"remove the comment; {AGAIN.format(file=chained.path)}"
        yield Fault(chained.test, None, chained.path, commit, what, mend)


def stem_of(path: str) -> str:
    """Return the path of an issued file without its suffix."""
    return path.removesuffix(SUFFIX)


def last_touch(history: History, path: str) -> str:
    """Return the latest commit that changed a path, else the newest."""
    for commit in history.commits:
        if any(touch.path == path for touch in commit.touches):
            return commit.id
    return history.main[0].id
