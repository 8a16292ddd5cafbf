"""Which tests have another curve of their soil: looked for soil by soil."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial

from buildsite.archive.archive import Archive
from buildsite.archive.keys_across import CURVE, SAMPLE
from buildsite.archive.other_curves import soil_class, stands
from buildsite.asked import Question, ask, ask_again
from buildsite.building.answers import listed
from buildsite.building.steps import Steps
from buildsite.cache.value_forms import form_of

Tried = tuple[tuple[str, bool], ...]
"""Tests whose curves were looked for, and whether each may be used."""

TRUTH, WORD, TRIED = form_of(bool), form_of(str), form_of(Tried)

MOST = 2
"""Curves of a soil that are looked for: one of them is another's."""

Soil = tuple[str, str]
Look = Callable[[Sequence[str]], Iterable[tuple[str, bool, frozenset[Question]]]]
"""Whether the curves of tests may be used, found by processes; what was asked."""


class OtherCurves:
    """
    The tests on the site with another curve of their sample or soil class.

    Only the soils of `own` tests are looked at: those whose pages are made here.
    """

    def __init__(
        self,
        archive: Archive,
        steps: Steps,
        shown: Sequence[str],
        own: Sequence[str],
    ) -> None:
        self.archive = archive
        self.steps = steps
        self.shown = frozenset(shown)
        self.own = frozenset(own)
        self.looked: dict[str, tuple[bool, frozenset[Question]]] = {}

    def files(self, look: Look) -> frozenset[str]:
        """Return the tests, by file."""
        steps = self.steps
        members, measured = self._by_soil(SAMPLE), self._by_soil(CURVE)
        soils = sorted(
            soil
            for soil, some in members.items()
            if len(some) > 1 and not self.own.isdisjoint(some)
        )
        told = {" ".join(soil): listed(measured.get(soil, ())) for soil in soils}
        steps.tell_all("measured", told)
        self._look(soils, measured, look)
        found: set[str] = set()
        for soil in soils:
            make = partial(self._tried, soil, measured.get(soil, ()))
            tried = steps.value(f"curves {' '.join(soil)}", TRIED, make)
            steps.hold(f"stands {file}" for file, _ in tried)
            usable = [file for file, may in tried if may]
            found.update(
                file for file in members[soil] if any(one != file for one in usable)
            )
        return frozenset(found)

    def _by_soil(self, sort: str) -> dict[Soil, list[str]]:
        """Return the tests of each sample and soil class, in order."""
        found: dict[Soil, list[str]] = {}
        for (_, sample), sources in self.steps.store.links.groups(sort):
            names = (source.partition(" ")[2] for source in sources)
            files = [file for file in names if file in self.shown]
            for soil in self._soils(sample) if files else ():
                found.setdefault(soil, []).extend(files)
        return {soil: sorted(files) for soil, files in found.items()}

    def _soils(self, sample: str) -> Iterator[Soil]:
        yield "sample", sample
        make = partial(soil_class, self.archive, sample)
        named = self.steps.value(f"class {sample}", WORD, make)
        if named:
            yield "soil", named

    def _look(
        self, soils: Sequence[Soil], measured: dict[Soil, list[str]], look: Look
    ) -> None:
        """Have processes look at the first curves of each soil, where none is known."""
        first = {
            file
            for soil in soils
            if not self.steps.stands(f"curves {' '.join(soil)}")
            for file in measured.get(soil, ())[:MOST]
        }
        todo = [one for one in sorted(first) if not self.steps.stands(f"stands {one}")]
        for file, may, asked in look(todo):
            self.steps.keep(f"stands {file}", TRUTH, may, asked)
            self.looked[file] = may, asked

    def _tried(self, soil: Soil, files: Sequence[str]) -> Tried:
        ask("measured", " ".join(soil))
        tried: list[tuple[str, bool]] = []
        for file in files:
            tried.append((file, self._may_be_used(file)))
            if len([may for _, may in tried if may]) == MOST:
                break
        return tuple(tried)

    def _may_be_used(self, file: str) -> bool:
        if file in self.looked:
            may, asked = self.looked[file]
            ask_again(asked)
            return may
        make = partial(stands, self.archive, file)
        return bool(self.steps.value(f"stands {file}", TRUTH, make))
