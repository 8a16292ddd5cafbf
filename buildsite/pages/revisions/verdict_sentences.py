"""What the page of an issued verdict says once its reference was amended."""

from collections.abc import Iterator

from buildsite.archive.archive import Archive
from buildsite.archive.follows import gives_verdict
from buildsite.archive.issued_files import IssuedState
from buildsite.archive.judged_again import to_judge_again
from buildsite.archive.verdicts import result_to_follow


def to_judge_again_sentences(archive: Archive, file: str) -> Iterator[str]:
    """Return that a verdict is by an earlier report of its reference, for everybody."""
    if file in archive.known_names and gives_verdict(archive, file):
        again = to_judge_again(archive, file)
        if again is not None:
            yield f"The reference was amended: {again.why}."
            yield "This verdict is by the earlier report. It was not judged again yet."


def verdict_now_sentences(state: IssuedState) -> Iterator[str]:
    """Return what became of an issued verdict by the records now, if it changed."""
    made = state.now
    if made is None or made.kind.follows is None or not state.result:
        return
    follow = made.kind.follows(state.result, result_to_follow(made))
    if follow is not None and follow.flipped:
        yield f"Verdict: {follow.verdicts} by the records now."
