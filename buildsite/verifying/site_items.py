"""Issued items on a site and in its manifest, compared with the archive's own."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from buildsite.archive.archive import Archive
from buildsite.archive.issued_flags import files_to_keep
from buildsite.archive.issues import released_of
from buildsite.archive.states import archive_at
from buildsite.exports.manifest import NAME
from buildsite.history.walk import History
from buildsite.record.issued import whole_digest
from buildsite.record.proof import Fault
from buildsite.verifying.items import IssuedChain
from buildsite.verifying.site import Manifest, site_fault

SERVED = {"report": "report.html", "result": "result.json", "pdf": "report.pdf"}
"""Name of each kept file in the folder of its revision on a site."""

KEPT = re.compile(
    r"tests/(?P<test>[^/]+)/r(?P<revision>[0-9]+)/"
    r"(report\.html|report\.pdf|result\.json)"
)
UNCUT = (
    "get the manifest again from the person who publishes or keeps it; publish from "
    "the archive, which has this item"
)


def kept_file_faults(
    manifest: Manifest,
    there: Mapping[str, str],
    chains: Iterable[IssuedChain],
    *,
    whole: bool,
) -> dict[str, Fault]:
    """
    Return the kept files of a site that are not those of their items.

    `there` gives the digest of each file, `whole` says that none may be missing. No
    rebuild is needed: any program can judge them.
    """
    faults, known = {}, set()
    for path, key, sum, listed in served(manifest, chains):
        known.add(path)
        if path in there and there[path] != sum:
            what = f"the kept {key} is not the one issued: its digest is not the item's"
            faults[path] = site_fault(manifest, path, what)
        elif path not in there and whole and listed:
            what = f"the kept {key} of an issued item is missing"
            faults[path] = site_fault(manifest, path, what)
    for path in there:
        if KEPT.fullmatch(path) and path not in known:
            what = "no issued item keeps this file"
            faults[path] = site_fault(manifest, path, what)
    return faults


def served(
    manifest: Manifest, chains: Iterable[IssuedChain]
) -> Iterator[tuple[str, str, str | None, bool]]:
    """Yield address, key and digest of kept files, and whether a manifest has them."""
    for chained in chains:
        listed = len(manifest.tests.get(chained.test, ()))
        for item in chained.issued.items:
            where = f"tests/{chained.test}/r{item.revision}"
            for key, _, sum in files_to_keep(chained.record, item):
                yield f"{where}/{SERVED[key]}", key, sum, item.revision < listed


def merged_faults(
    first: Mapping[str, Fault], second: Mapping[str, Fault]
) -> dict[str, Fault]:
    """Return the faults of files by path; what both say of one file in one fault."""
    both = {**second, **first}
    for path in first.keys() & second.keys():
        what = f"{first[path].what}; {second[path].what}"
        both[path] = replace(first[path], what=what)
    return both


def cut_faults(
    manifest: Manifest, history: History, file: str = NAME
) -> Iterator[Fault]:
    """
    Yield the items that a manifest leaves out, though its commit has them.

    Tests and their files can be cut from a manifest consistently; the commit that it
    names tells which a site of it shows.
    """
    if manifest.commit not in history.by_id:
        return
    archive = archive_at(history, manifest.commit)
    for test, items in sorted(items_shown(archive, manifest).items()):
        listed = manifest.tests.get(test, ())
        for revision in range(len(listed), len(items)):
            what = "issued at the manifest's commit, but cut from the manifest"
            yield Fault(test, revision, file, manifest.commit, what, UNCUT)


def items_shown(archive: Archive, manifest: Manifest) -> Mapping[str, list[str]]:
    """Return the item digests of each test that a site of an archive shows."""
    release = bool(manifest.content["options"].get("release"))
    released = released_of(archive).tests if release else None
    found = {}
    for file in archive.files("test"):
        issued, _ = archive.chain(file)
        if issued is None or not archive.has_page(file):
            continue
        if released is None or issued.test in released:
            found[issued.test] = [whole_digest(tree) for tree in issued.trees]
    return found
