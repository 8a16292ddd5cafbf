"""
A file read again after an edit: only the fields that the edit touched are parsed.

The states of a record differ in a line or two. The fields before and after are taken
from a state that was read already; where it isn't certain that they would be read the
same, the file is read whole.
"""

from collections.abc import Iterable
from contextlib import suppress
from hashlib import sha256

from yaml.error import MarkedYAMLError

from buildsite.record.compose import Composer, Spots, Tree
from buildsite.record.faults import Faults, StopReading
from buildsite.record.letters import LARGEST, read_text
from buildsite.record.source import FASTEST, Source, read_source


def read_again(known: Source, data: bytes) -> Source:
    """Return another state of a file, given one that was read."""
    return _read_changed(known, data) or read_source(known.file, data)


def _read_changed(known: Source, data: bytes) -> Source | None:
    """
    Return a state of which the changed fields are parsed alone, if that is certain.

    A field begins where the parser found its name at the margin. Whatever stood before
    had ended there, and so it does at any other name at the margin. Changed fields that
    don't end by themselves, with a bracket or a quote left open, can't be parsed alone.
    """
    if not known.whole or known.faults or known.blanks or len(data) > LARGEST:
        return None
    if any(spot[1] != 1 for spot in known.spots.values()):
        return None
    before, after = known.data.splitlines(True), data.splitlines(True)
    begins = {name: spot[0] - 1 for name, spot in known.spots.items()}
    end = len(after)
    first = min(_alike(before, after), end - 1)
    kept = [name for name, line in begins.items() if line <= first][:-1]
    start = max((line for line in begins.values() if line <= first), default=0)
    rest: list[str] = []
    if len(before) == len(after):  # the lines of what follows have not moved
        last = end - _alike(reversed(before), reversed(after))
        rest = [name for name, line in begins.items() if line >= max(last, start + 1)]
        end = begins[rest[0]] if rest else end
    changed = _parsed(known.file, b"".join(after[start:end]), start)
    if changed is None or not changed[0].keys().isdisjoint((*kept, *rest)):
        return None
    tree, spots = changed
    names = (*kept, *tree, *rest)
    return Source(
        file=known.file,
        data=data,
        sha256=sha256(data).hexdigest(),
        tree={name: (tree if name in tree else known.tree)[name] for name in names},
        faults=(),
        whole=True,
        blanks=False,
        spots={name: (spots if name in tree else known.spots)[name] for name in names},
    )


def _alike(some: Iterable[bytes], others: Iterable[bytes]) -> int:
    """Return how many lines are the same, from the first on."""
    count = 0
    for one, other in zip(some, others, strict=False):
        if one != other:
            break
        count += 1
    return count


def _parsed(file: str, data: bytes, line: int) -> tuple[Tree, Spots] | None:
    """Return some fields that begin at a line; None unless they are without fault."""
    if b"\n..." in data:
        return None  # it ends a document
    faults = Faults(file)
    composer = Composer(faults, data)
    with suppress(StopReading, MarkedYAMLError):
        text = "\n" * line + read_text(data, faults)
        tree, spots = composer.compose(FASTEST(text).get_event)
        at_margin = tree and next(iter(spots.values()))[:2] == (line + 1, 1)
        if at_margin and not composer.blanks and not faults.sorted():
            return tree, spots
    return None
