"""What was published or printed, against what stands; what was issued since."""

import re
from collections.abc import Iterator, Sequence

from buildsite.errors import EnvironmentFault
from buildsite.history.walk import History
from buildsite.record.issued import SUFFIX, content_digest, read_issued, whole_digest
from buildsite.record.proof import Fault, Line, id_of
from buildsite.verifying.items import IssuedChain
from buildsite.verifying.site import Manifest
from buildsite.verifying.typed_digest import digest_difference

NAMED = 5
"""Published revisions that one fault names."""

BACK = (
    "go back to the history that was published: fetch it from whoever holds a clone, "
    "and bring in what is new by a merge"
)


def published_faults(
    manifest: Manifest, history: History, line: Line
) -> Iterator[Fault]:
    """
    Faults of a history that does not go on from what was published.

    Raises
    ------
    EnvironmentFault
        If the manifest names no commit: then nothing can be compared with it.
    """
    if not manifest.commit:
        raise EnvironmentFault(
            f"The manifest {manifest.path} names no commit.",
            "Publish from a clone of the archive, and compare with that manifest.",
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
                "published, and no longer there: the history was rewritten"
                if gone
                else "not as it was published: the history was rewritten",
                BACK,
            )
    if manifest.commit not in history.by_id:
        yield Fault(
            "",
            None,
            str(manifest.path),
            manifest.commit,
            "the published commit is no ancestor of today's: the history was "
            f"rewritten; {revisions_in_words(manifest)}",
            BACK,
        )


SHOWN = re.compile(r"tests/(?P<test>[^/]+)/r(?P<revision>[0-9]+)/.+")


def unlisted_revisions(manifest: Manifest) -> Iterator[Fault]:
    """Revisions that a manifest has pages of, and no digest: it was altered."""
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
                "the manifest has its pages and no digest of it: it was altered",
                "get the manifest again from whoever published or keeps it",
            )


def revisions_in_words(manifest: Manifest) -> str:
    """
    Name the published revisions that rested on the commit which is gone.

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
    """
    Doubt a printed report: test, revision and content digest, as printed on it.

    None where the archive holds that revision with that digest.
    """
    test, number, sum = asked
    revision = int(number)
    trees = line.stands.get(test, ())
    commit = line.came.get((test, revision), head)
    if not trees:
        what = "nothing was issued of a test of this id"
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
        f"the archive does not hold the printed report: {what}",
        "type it again as printed; if the paper says so, ask who issued it",
    )


def issued_since(
    manifest: Manifest, history: History, chains: Sequence[IssuedChain]
) -> Iterator[str]:
    """
    Name every revision that the archive holds and the site does not know.

    A site that a server gave out anew from before an amendment or a withdrawal is what
    its manifest says, and no longer what is current. Of a released site only projects
    count that it shows.

    Parameters
    ----------
    manifest
        The site's own.
    history
        The repository's past, which holds the site's commit.
    chains
        What is issued at HEAD.
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
    """Tests, and how many items of each stood at a commit."""
    for path in history.names(commit):
        if path.endswith(SUFFIX):
            issued, _ = read_issued(path, history.read(commit, path) or b"")
            yield id_of(path), len(issued.items) if issued is not None else 0
