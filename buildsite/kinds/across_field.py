"""Rules across field tests: two of them at one place on one day."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from buildsite.kinds.traces import OnFill, Trace
from buildsite.record.flags import Doubt, Known, Severity

Key = tuple[str, ...]


def place_key(trace: Trace, fill: OnFill) -> Key | None:
    """Return what two tests at one place on one day share; None where it is unknown."""
    if fill.is_paper or not fill.place or trace.on is None:
        return None
    words = (fill.project, fill.zone, fill.lift, fill.place)
    return (*(word.casefold() for word in words), trace.on.isoformat())


def linked(one: Trace, other: Trace) -> bool:
    """Whether one of two tests names the other, as its retest or check."""
    named = (*(one.fill.names if one.fill else ()),)
    return other.id in named or one.id in (other.fill.names if other.fill else ())


def two_at_one_place(traces: Sequence[Trace]) -> Iterator[tuple[str, Doubt]]:
    """Two field tests at one place on one day, neither naming the other."""
    seen: dict[Key, list[Trace]] = {}
    for trace in sorted(traces, key=lambda one: one.id):
        key = place_key(trace, trace.fill) if trace.fill is not None else None
        if key is None or trace.fill is None:
            continue
        before = seen.setdefault(key, [])
        alone = [one for one in before if not linked(one, trace)]
        if alone and len(alone) == len(before):
            yield (
                trace.file,
                Doubt(
                    field=("position",),
                    found=f"{trace.fill.place} on {trace.on}, as {alone[0].id}",
                    expected="one test at a place on a day, or the other one named",
                    mend="check both sheets; name the other one by retest_of (after "
                    "rework) or check_of, so that no failure is lost",
                ),
            )
        before.append(trace)


ACROSS: tuple[
    tuple[Known, Callable[[Sequence[Trace]], Iterable[tuple[str, Doubt]]]], ...
] = (
    (
        Known(
            "two-tests-at-one-place",
            Severity.WARNING,
            "common practice",
            "Two field tests at one place on one day, and neither names the other.",
        ),
        two_at_one_place,
    ),
)
