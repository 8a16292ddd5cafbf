"""The results of a test over its edits and revisions, as one small figure."""

from collections.abc import Sequence

from buildsite.archive.edits import Timeline
from buildsite.archive.result_steps import moved_results, result_steps
from buildsite.kinds.reporting import Spoken
from buildsite.pages.rows import result_title
from buildsite.pages.view_models import Picture
from buildsite.record.issued import Item


def result_figure(
    timeline: Timeline, items: Sequence[Item], first: Sequence[str], method: Spoken
) -> tuple[Picture, bytes] | None:
    """
    Return the figure and its bytes; None where no result has ever changed.

    `first` are the results that count most.
    """
    steps = result_steps(timeline, items)
    names = moved_results(steps, first)
    if not names:
        return None
    from buildsite.pages.figure.steps import WIDTH, Marks, Steps, height, steps_svg

    rows, words = [], []
    for name in names:
        texts = tuple(one.values.get(name, "") for one in steps)
        last = next(text for text in reversed(texts) if text)
        unit = last.partition(" ")[2]
        title = result_title(name, method, last)
        rows.append(Steps(f"{title}, {unit}" if unit else title, texts))
        told = (
            f"{one.label or one.day} {text}"
            for one, text in zip(steps, texts, strict=True)
            if text
        )
        words.append(f"{title}: {', '.join(told)}.")
    marks = Marks(tuple((one.label, one.day) for one in steps))
    alt = " ".join(words)
    size = (round(WIDTH), round(height(rows)))
    title = "Results over edits and revisions" if timeline.edits else "Issued results"
    return Picture("results", title, alt, size), steps_svg(rows, marks, alt)
