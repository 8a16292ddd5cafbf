"""
The rules across records, divided by what they look at: a mold, a container, a line.

Two tests are compared only where they share a key. So when one test has changed, the
rules are run again for its keys alone, on the tests that share them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from buildsite.kinds import across
from buildsite.kinds.traces import Trace
from buildsite.record.flags import Doubt, Known

Key = tuple[str, ...]
"""What tests have in common: its sort, and which."""

Said = tuple[str, str, Doubt]
"""A flag's name, the file that it is of, and the doubt."""

BY_SORT: Mapping[str, tuple[across.Across, ...]] = {
    "mold": (across.mold_mass_changed,),
    "container": (across.container_mass_changed,),
    "line": (across.readings_in_two_tests,),
}
DIVIDED = {check for checks in BY_SORT.values() for check in checks}

FILL = "fill"
"""Sort of all other rules: they look at the tests and papers of a project's fill."""

SORTS = (*BY_SORT, FILL)
PLACED, PAPER = "placed", "paper"
ALIKE, EQUIPMENT, SAMPLE, CURVE = "alike", "equipment", "sample", "curve"


def keys_of(trace: Trace | None) -> set[Key]:
    """Return the keys of a test; none if it is not compared."""
    if trace is None:
        return set()
    found: set[Key] = {("mold", one.mold, one.weighed_with) for one in trace.molds}
    found |= {("container", one.label) for one in trace.containers}
    found |= {("line", *readings) for _, readings in trace.readings}
    found |= {(EQUIPMENT, one.equipment) for one in trace.uses}
    if trace.alike:
        found.add((ALIKE, *trace.alike))
    if trace.sample:
        found.add((SAMPLE, trace.sample))
        if trace.has_curve:
            found.add((CURVE, trace.sample))
    if trace.fill is not None:
        found.add((FILL, trace.fill.project.casefold()))
        found.add((PAPER if trace.fill.is_paper else PLACED,))
    return found


def part_of(trace: Trace, key: Key) -> Trace:
    """Return of a test what is compared under a key, and nothing else."""
    bare = Trace(trace.file, trace.id, (), (), on=trace.on)
    sort, *of = key
    if sort == "mold":
        molds = (one for one in trace.molds if [one.mold, one.weighed_with] == of)
        return replace(bare, molds=tuple(molds))
    if sort == "container":
        same = (one for one in trace.containers if one.label == of[0])
        return replace(bare, containers=tuple(same))
    if sort == "line":
        lines = (line for line in trace.readings if [*line[1]] == of)
        return replace(bare, readings=tuple(lines))
    if sort == EQUIPMENT:
        uses = tuple(one for one in trace.uses if one.equipment == of[0])
        return replace(bare, uses=uses, standard=trace.standard)
    if sort == FILL:
        return replace(bare, fill=trace.fill)
    return bare


def doubts_of(key: Key, traces: Sequence[Trace]) -> Iterator[Said]:
    """Return the doubts from comparing the tests of a key."""
    parts = [part_of(trace, key) for trace in traces]
    checks = BY_SORT.get(key[0])
    for known, check in across.ACROSS:
        if check in checks if checks is not None else check not in DIVIDED:
            for file, doubt in check(parts):
                yield known.flag, file, doubt


KNOWN: Mapping[str, Known] = {known.flag: known for known in across.KNOWN}
"""Every flag that comes from comparing records, by its name."""
