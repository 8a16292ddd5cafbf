"""Published and printed revisions, compared with the archive; revisions since."""

import re
from collections.abc import Iterator, Sequence

from buildsite.errors import EnvironmentFault
from buildsite.history.walk import History
from buildsite.record.issued import content_digest, read_issued, whole_digest
from buildsite.record.places import SUFFIX
from buildsite.record.proof import Fault, Line, id_of
from buildsite.verifying.items import IssuedChain
from buildsite.verifying.site import Manifest
from buildsite.verifying.typed_digest import digest_difference

NAMED = 5
"""Number of published revisions named in one fault."""

BACK = (
    "restore the published history: fetch it from another clone, and merge the newer "
    "commits into it"
)


def published_faults(
    manifest: Manifest, history: History, line: Line
) -> Iterator[Fault]:
    """Yield the faults of a history that doesn't continue the published one."""
    if not manifest.commit:
        raise EnvironmentFault(
            f"The manifest {manifest.path} names no commit.",
            "Publish from a clone of the archive, and compare with its manifest.",
        )
    yield from unlisted_revisions(manifest)
    for test, published in sorted(manifest.tests.items()):
        today = [whole_digest(tree) for tree in line.stands.get(test, ())]
        if today[: len(published)] != published:
            revision = next(
                i
                for i, one in enumerate(published)
                if i >= len(today) or today[i] != one
            )
            gone = revision >= len(today)
            yield Fault(
                test,
                revision,
                line.path(test) or str(manifest.path),
                manifest.commit,
                "published, but no longer there: the history was rewritten"
                if gone
                else "not as published: the history was rewritten",
                BACK,
            )
    if manifest.commit not in history.by_id:
        yield Fault(
            "",
            None,
            str(manifest.path),
            manifest.commit,
            "the published commit is not in this history, which was rewritten; "
            f"{revisions_in_words(manifest)}",
            BACK,
        )


SHOWN = re.compile(r"tests/(?P<test>[^/]+)/r(?P<revision>[0-9]{1,9})[0-9]*/.+")


def unlisted_revisions(manifest: Manifest) -> Iterator[Fault]:
    """Yield the revisions with pages but no digest in a manifest: it was altered."""
    shown = {
        (found["test"], int(found["revision"]))
        for found in map(SHOWN.fullmatch, manifest.files)
        if found is not None
    }
    for test, revision in sorted(shown):
        if revision >= len(manifest.tests.get(test, ())):
            yield Fault(
                test,
                revision,
                str(manifest.path),
                manifest.commit,
                "the manifest lists its pages but no digest of it: it was altered",
                "get the manifest again from the person who publishes or keeps it",
            )


def revisions_in_words(manifest: Manifest) -> str:
    """
    Return the revisions published from the commit that is gone.

    >>> from pathlib import Path
    >>> revisions_in_words(Manifest(Path("m"), b"", {"tests": {"HF-0117": ["a", "b"]}}))
    'published from it: HF-0117 r0 to r1'
    """
    names = [
        f"{test} r0" + (f" to r{len(items) - 1}" if len(items) > 1 else "")
        for test, items in sorted(manifest.tests.items())
        if items
    ]
    more = f" and {len(names) - NAMED} more tests" if len(names) > NAMED else ""
    return f"published from it: {', '.join(names[:NAMED]) or 'no revision'}{more}"


def printed_report_fault(asked: Sequence[str], line: Line, head: str) -> Fault | None:
    """Return the fault of a printed report; None if its digest is in the archive."""
    test, number, sum = asked
    revision = int(number)
    trees = line.stands.get(test, ())
    commit = line.came.get((test, revision), head)
    if not trees:
        what = "no test with this id was issued"
    elif revision >= len(trees):
        what = f"no such revision: the last one is r{len(trees) - 1}"
    else:
        what = digest_difference(sum, content_digest(trees[revision]), line.stands)
        if not what:
            return None
    return Fault(
        test,
        revision,
        line.path(test) or f"{test}.issued.yaml",
        commit,
        f"the printed report is not in the archive: {what}",
        "type it again as printed; if that is what the paper says, ask who issued it",
    )


def issued_since(
    manifest: Manifest, history: History, chains: Sequence[IssuedChain]
) -> Iterator[str]:
    """
    Yield every revision issued since a site was built.

    An old site restored on a server agrees with its manifest, but is not current. For a
    released site only the projects on it count.
    """
    then = dict(items_at(history, manifest.commit))
    release = bool(manifest.content["options"].get("release"))
    shown = {
        chain.path.split("/")[1] for chain in chains if chain.test in manifest.tests
    }
    for chain in chains:
        if release and chain.path.split("/")[1] not in shown:
            continue
        for item in chain.issued.items[then.get(chain.test, 0) :]:
            yield f"{chain.test} r{item.revision} ({item.kind})"


def items_at(history: History, commit: str) -> Iterator[tuple[str, int]]:
    """Yield each test and its number of items at a commit."""
    for path in history.names(commit):
        if path.endswith(SUFFIX):
            issued, _ = read_issued(path, history.read(commit, path) or b"")
            yield id_of(path), len(issued.items) if issued is not None else 0
