"""What the manifest and the pages need of all issued files together."""

from functools import partial

from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_of
from buildsite.archive.issued_files import Together
from buildsite.archive.issues import changes_amended, together
from buildsite.asked import unasked
from buildsite.building.steps import Steps
from buildsite.cache.value_forms import form_of
from buildsite.exports import manifest
from buildsite.record.places import SUFFIX

Chain = tuple[tuple[str, ...] | None, tuple[tuple[str, str, int], ...]]
"""
The digests of the items of a test (None if they can't be read), and the changes after
which it was amended.
"""

CHAIN = form_of(Chain)


def chains_of(archive: Archive, steps: Steps) -> tuple[dict[str, list[str]], Together]:
    """Return the digests of each test's issued items, and the tests amended at once."""
    items: dict[str, list[str]] = {}
    changes: dict[str, tuple[tuple[str, str, int], ...]] = {}
    for name in sorted(unasked(archive.issued)):
        found = steps.value(f"chain {name}", CHAIN, partial(chain_of, archive, name))
        digests, changes[f"{name.removesuffix(SUFFIX)}.yaml"] = found
        if digests is not None:
            items[name.rpartition("/")[2].removesuffix(SUFFIX)] = list(digests)
    return items, together(changes[file] for file in sorted(changes))


def chain_of(archive: Archive, name: str) -> Chain:
    """Return the digests of the items of an issued file, and the changes amended."""
    file = f"{name.removesuffix(SUFFIX)}.yaml"
    found = manifest.item_digests({name: archive.read_file(name)})
    known = group_of(file) == "test" and file in archive.known_names
    digests = [tuple(one) for one in found.values()]
    return digests[0] if digests else None, changes_amended(
        archive, file
    ) if known else ()
