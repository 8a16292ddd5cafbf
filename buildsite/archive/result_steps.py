"""The results of a test over its edits and revisions, from the first to the last."""

from collections.abc import Iterator, Mapping, Sequence

from buildsite.archive.edits import Edit, Timeline
from buildsite.kinds.compared_figures import parted
from buildsite.kinds.reporting import readable_text
from buildsite.record.issued import Item
from buildsite.values import dataclass

MOST_STEPS = 24
"""Events of a figure: of more, the last ones."""

MOST_RESULTS = 2


@dataclass(frozen=True)
class Step:
    """
    An edit that moved a result, or a revision, with the results after it.

    `label` is the number of the revision, blank for an edit.
    """

    day: str
    values: Mapping[str, str]  # as reported
    label: str = ""


def result_steps(timeline: Timeline, items: Sequence[Item]) -> tuple[Step, ...]:
    """Return the edits that moved a result and the revisions, the oldest first."""
    return tuple(every_step(timeline, items))[-MOST_STEPS:]


def every_step(timeline: Timeline, items: Sequence[Item]) -> Iterator[Step]:
    """Yield each step; an assessment is none."""
    placed: list[tuple[int, int, Edit | Item]] = [
        (-edit.place, 0, edit) for edit in timeline.edits
    ]
    placed += [(-timeline.place(i), 1 + i, item) for i, item in enumerate(items)]
    now: dict[str, str] = {}
    for _, _, event in sorted(placed, key=lambda one: one[:2]):
        if isinstance(event, Edit):
            if event.results:
                now.update({one.name: one.new for one in event.results})
                yield Step(event.commit.day, dict(now))
        elif event.kind != "assessment":
            texts = event.results if event.kind != "withdrawal" else {}
            values = {name: readable_text(text) for name, text in texts.items()}
            yield Step(event.issued_on.isoformat(), values, f"r{event.revision}")


def moved_results(steps: Sequence[Step], first: Sequence[str]) -> tuple[str, ...]:
    """
    Return the results that have been more than one figure, those in `first` before.

    >>> steps = [Step("", {"a": "1 g", "b": "x"}), Step("", {"a": "2 g", "b": "y"})]
    >>> moved_results(steps, ())
    ('a',)
    """
    names = dict.fromkeys((*first, *(name for one in steps for name in one.values)))
    found = [name for name in names if len(figures(steps, name)) > 1]
    return tuple(found[:MOST_RESULTS])


def figures(steps: Sequence[Step], name: str) -> set[str]:
    """Return the figures that a result has been; none if one is no figure."""
    texts = {one.values[name] for one in steps if one.values.get(name)}
    return texts if all(parted(text) is not None for text in texts) else set()
