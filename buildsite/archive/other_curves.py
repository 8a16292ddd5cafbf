"""Which tests have another curve of their soil, to be laid over their own."""

from collections.abc import Callable, Collection, Iterator, Sequence
from functools import partial
from itertools import islice

from buildsite.archive.archive import Archive
from buildsite.kinds.traces import Trace


def with_other_curves(
    archive: Archive,
    traces: Sequence[Trace],
    shown: Collection[str],
    may_be_used: Callable[[str], bool] | None = None,
) -> frozenset[str]:
    """
    Return the tests, by file, of whose sample or soil class another curve stands.

    `shown` are the files of the tests on the site, `may_be_used` says whether the
    curve of one stands, if that is known. Of each soil only two curves are looked for:
    one of them is another's.
    """
    usable = may_be_used or partial(stands, archive)
    soils: dict[tuple[str, str], list[Trace]] = {}
    on_site = set(shown)
    for trace in traces:
        if trace.sample and trace.file in on_site:
            for soil in soils_of(archive, trace.sample):
                soils.setdefault(soil, []).append(trace)
    found: set[str] = set()
    for together in soils.values():
        if len(together) == 1:
            continue
        measured = (one.file for one in together if one.has_curve)
        curves = [*islice(filter(usable, measured), 2)]
        found.update(
            one.file for one in together if any(file != one.file for file in curves)
        )
    return frozenset(found)


def soils_of(archive: Archive, sample: str) -> Iterator[tuple[str, str]]:
    """Yield a sample, and the soil class that its record states."""
    yield "sample", sample
    file = archive.find("sample", sample)
    soil = getattr(archive.entry(file).record, "soil", None) if file else None
    named = getattr(soil, "class_", None)
    if named:
        yield "soil", named


def stands(archive: Archive, file: str) -> bool:
    """Whether a test has results that may be used: issued, else complete and sound."""
    issued, _ = archive.chain(file)
    if issued is not None and issued.items:
        last = issued.items[-1]
        return last.kind != "withdrawal" and bool(last.results)
    made = archive.outcome(file)
    if made is None or made.blocked:
        return False
    return made.status == "complete" and bool(made.results)
