"""
Answers that past states of a record have in common.

Most edits change a reading, and nothing that other records are asked. With the same
questions, and the same files beside the record, the answers are the same.
"""

from collections.abc import Callable, Iterator, Sequence

from buildsite.archive.entries import Answered, Answers, Blobs, Entry, Shared
from buildsite.asked import ask_again, questions
from buildsite.kinds.kind import Inputs, Ref


def rounds(entry: Entry, inputs: Inputs) -> Iterator[Sequence[Ref]]:
    """Return what a record needs of others, then what the answers call for."""
    yield entry.refs
    if entry.kind is not None and entry.kind.further is not None:
        yield entry.kind.further(entry.record, inputs)


def answers_again(
    shared: Shared, entry: Entry, beside: Blobs, ask: Callable[[Entry], Answers]
) -> Answers:
    """
    Return the answers to a past state of a record, asked once.

    Flags have lines of the record, and an answer may come from the record itself: those
    are asked for anew.
    """
    held = shared.answered.get(entry.file)
    if (
        held is not None
        and held.beside == beside
        and held.refs == tuple(rounds(entry, held.answers[0]))
    ):
        ask_again(held.asked)
        return held.answers
    with questions() as asked:
        found = ask(entry)
    inputs, _, flags = found
    if not flags and ("file", entry.file) not in asked:
        refs = tuple(rounds(entry, inputs))
        shared.answered[entry.file] = Answered(refs, beside, found, frozenset(asked))
    return found
