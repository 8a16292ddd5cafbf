"""What was issued since the commit that a site was built from."""

from collections.abc import Iterator, Sequence

from buildsite.history import History
from buildsite.record.issued import SUFFIX, read_issued
from buildsite.record.proof import id_of
from buildsite.verifying.items import IssuedChain
from buildsite.verifying.site import Manifest


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
