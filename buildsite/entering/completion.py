"""What a test that was just completed found, and its next step."""

from collections.abc import Iterator

from buildsite.archive.drift import reported
from buildsite.archive.waiting_tests import waiting_task
from buildsite.entering.answer_check import RecordState
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.reporting import readable_text, reported_word
from buildsite.record.flags import Severity


def flag_lines(state: RecordState, *severities: Severity) -> Iterator[str]:
    """Yield the open flags of some severities, errors first."""
    for severity in severities:
        for flag in state.flags:
            if flag.severity is severity and not flag.accepted_by:
                yield f"  {flag.severity}: {flag.message}"


def result_lines(made: Outcome) -> Iterator[str]:
    """Yield the results as they will be reported."""
    for name, text in reported(made).items():
        word = reported_word(made.case.method, name, text)
        yield f"  {word[:1].upper()}{word[1:]}: {readable_text(text)}"


def next_step(made: Outcome) -> str:
    """Return what a complete test waits for, and the command for it."""
    task = waiting_task(made)
    ready = WAITS.get(task.list, "Complete.")
    return f"{ready} Next: {task.step}"


WAITS = {
    "review": "Complete: ready for review.",
    "entry-check": "Complete: its entry is to be checked by a second person.",
}
