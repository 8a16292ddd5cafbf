"""
All tests compared with each other, of which only what has changed is compared again.

Each test has keys (`archive.keys_across`), and the rules across records are run for the
keys of those tests whose traces have changed. What was said of the others is kept.
"""

from collections.abc import (
    Callable,
    Collection,
    Iterable,
    Iterator,
    Mapping,
    Sequence,
    Set,
)
from functools import lru_cache, partial
from itertools import combinations

from buildsite.archive.across import MOST, compared, neighbor_of, words_by_file
from buildsite.archive.archive import Archive
from buildsite.archive.issued_places import reported_trace
from buildsite.archive.keys_across import (
    ALIKE,
    EQUIPMENT,
    FILL,
    KNOWN,
    PAPER,
    PLACED,
    SORTS,
    Key,
    Said,
    doubts_of,
    keys_of,
    part_of,
)
from buildsite.asked import ask, unasked
from buildsite.building.answers import listed, short
from buildsite.building.steps import Steps
from buildsite.cache.links import key_of, text_of
from buildsite.cache.store import loaded, written
from buildsite.cache.value_forms import form_of
from buildsite.kinds import across, neighbors
from buildsite.kinds.neighbors import Found
from buildsite.kinds.outcome import flag_of
from buildsite.kinds.traces import Repeated, Trace
from buildsite.record.flags import Doubt, Flag, Known
from buildsite.record.issued import issued_name

Flags = tuple[Flag, ...]
Surveyed = tuple[Trace | None, Flags]
"""Trace of a test for the rules across records, and flags from its history."""

SURVEYED, TRACE = form_of(Surveyed), form_of(Trace | None)
PAIR, FOUND = form_of(Repeated | None), form_of(Found | None)
SAID, FLAGS = form_of(tuple[Said, ...]), form_of(Flags)

PAIRS, FAR, USES = "pairs", "far", "uses"
RANK = (*SORTS, PAIRS, FAR, USES)
"""Sorts of keys of which something is said, in the order of the flags of a file."""

MOST_HELD = 2000
"""Traces, and flags of a file, that are held; others are read again."""

AGAIN_AT_MOST = 50
"""Tests that share a key that is looked at again though nothing has changed."""

BY_HISTORY: Key = ("history",)
"""Key of the tests with a flag from their history."""


class Comparison:
    """What was found by comparing tests: flags, repeats in words."""

    def __init__(self, archive: Archive, steps: Steps) -> None:
        self.archive = archive
        self.steps = steps
        self.links = steps.store.links
        self.moved: set[Key] = set()  # keys under which something has changed
        self.again: set[Key] = set()  # keys looked at again though nothing has
        self.reported: dict[str, Trace | None] = {}
        self.doubted: set[str] = set()  # files of which something else is said now
        self.history_moved: set[str] = set()
        self.trace_of = lru_cache(MOST_HELD)(self._trace_of)

    def take(self, source: str, old: Trace | None, new: Trace | None) -> None:
        """Note the trace of a test as it was and as it is, under its keys."""
        before, now = keys_of(old), keys_of(new)
        for key in before - now:
            self.links.drop(key, source)
        for key in now - before:
            self.links.add(key, source)
        if old is not None and new is not None and old != new:
            same = before & now
            self.moved |= {k for k in same if part_of(old, k) != part_of(new, k)}
        self.moved |= before ^ now

    def take_test(self, file: str) -> None:
        """Note a test that was surveyed."""
        source = f"trace {file}"
        old, flags = self._kept(source, (None, ()))
        new, more = self._told(source)
        self.take(source, old, new)
        for had, has, change in (
            (flags, more, self.links.add),
            (more, flags, self.links.drop),
        ):
            if has and not had:
                change(BY_HISTORY, source)
        if flags or more:
            self.history_moved.add(file)
        if source in self.steps.again:
            shared = keys_of(new)
            self.again |= {k for k in shared if len(self.links.of(k)) <= AGAIN_AT_MOST}

    def drop_tests(self, tests: Mapping[str, str]) -> None:
        """Note the tests that are gone."""
        for source in self.steps.gone("trace", tests.values()):
            old, _ = self._kept(source, (None, ()))
            self.take(source, old, None)
            self.links.drop(BY_HISTORY, source)

    def _kept(self, source: str, nothing: Surveyed) -> Surveyed:
        """Return what a test told in the last build."""
        store = self.steps.store
        if source not in store.steps:
            return nothing
        found: Surveyed = SURVEYED.read(loaded(store.text(source)))
        return found

    def _told(self, source: str) -> Surveyed:
        """Return what a test tells now."""
        found: Surveyed = self.steps.read(source, SURVEYED)
        return found

    def _trace_of(self, source: str) -> Trace:
        if source.startswith("trace "):
            trace, _ = self._told(source)
        elif source in self.reported:
            trace = self.reported[source]
        else:
            trace = self.steps.read(source, TRACE)
        if trace is None:
            raise ValueError(f"{source} has keys and no trace")
        return trace

    def run(self) -> None:
        """Compare what has changed; set the archive's flags across records."""
        self._reports()
        self._by_keys()
        self._by_equipment()
        pairs = tuple(self._pairs())
        self._say((PAIRS,), named(across.repeat_doubts(pairs)))
        self._say((FAR,), named(neighbors.doubts(self._fill())))
        self._flags()
        self._tell_repeats(pairs)

    def _say(self, key: Key, said: Sequence[Said], *, held: bool = False) -> None:
        """Say something under a key, and note whose flags move by it."""
        by_file: dict[str, list[Said]] = {}
        for one in said:
            by_file.setdefault(one[1], []).append(one)
        now = {file: written(SAID.write(tuple(some))) for file, some in by_file.items()}
        was = self.links.said(key)
        if now == was:
            return
        if held:
            self.steps.differs(f"what is said of {key}")
        for file in {*was, *now}:
            text = now.get(file, "")
            if text == was.get(file, ""):
                continue
            if file not in now:
                self.links.drop(("file", file), text_of(key))
            elif file not in was:
                self.links.add(("file", file), text_of(key))
            self.links.say(key, file, text)
            self.doubted.add(file)

    def _reports(self) -> None:
        """Note the field tests that count by their last report, if any paper does."""
        steps, archive = self.steps, self.archive
        issued = unasked(archive.issued)
        papers = bool(self.links.of((PAPER,)))
        tests = [
            file
            for file in archive.files("test")
            if papers and issued_name(file) in issued
        ]
        names = {file: f"reported {file}" for file in tests}
        for file, name in names.items():
            old = loaded(steps.store.text(name)) if name in steps.store.steps else None
            if not steps.stands(name):
                new = steps.value(name, TRACE, partial(self._reported, file))
                self.reported[name] = new
                self.take(name, TRACE.read(old), new)
        for name in steps.gone("reported", names.values()):
            self.take(name, TRACE.read(loaded(steps.store.text(name))), None)

    def _reported(self, file: str) -> Trace | None:
        ask("file", file)
        trace, _ = self._told(f"trace {file}")
        return reported_trace(self.archive, trace) if trace is not None else None

    def _by_keys(self) -> None:
        """Say what the rules find in tests that share a key."""
        for key in sorted(self.moved | self.again):
            if key[0] in SORTS:
                sources = self.links.of(key)
                alone = len(sources) < 2 and key[0] != FILL
                traces = [] if alone else [*map(self.trace_of, sources)]
                said = [*doubts_of(key, traces)] if traces else []
                self._say(key, said, held=key not in self.moved)

    def _by_equipment(self) -> None:
        """Say what is found of each piece of equipment and its uses."""
        keys: dict[str, Key] = {}
        for id in self.archive.ids("equipment"):
            keys[id] = (USES, id)
        for id, key in keys.items():
            name = f"uses {id}"
            if (EQUIPMENT, id) in self.moved:
                self.steps.shake(name)
            self._say(key, self.steps.value(name, SAID, partial(self._uses, id)))
        for key in {*self.links.all_said(USES)} - {*keys.values()}:
            self._say(key, ())

    def _uses(self, id: str) -> tuple[Said, ...]:
        from buildsite.kinds.equipment import uses

        piece = self.archive.piece(id)
        if piece is None:
            return ()
        key = (EQUIPMENT, id)
        parts = [part_of(self.trace_of(one), key) for one in self.links.of(key)]
        return named(uses.doubts([piece], parts))

    def _pairs(self) -> Iterator[Repeated]:
        """Yield the repeat tests, compared pair by pair."""
        for _, sources in self.links.groups(ALIKE):
            if 1 < len(sources) <= MOST:
                found = [*map(self._pair, combinations(sources, 2))]
                yield from in_turn([pair for pair in found if pair is not None])

    def _pair(self, sources: tuple[str, str]) -> Repeated | None:
        files = [source.partition(" ")[2] for source in sources]

        def make() -> Repeated | None:
            traces = sorted(map(self.trace_of, sources), key=by_day)
            return compared(self.archive, *traces)

        found: Repeated | None = self.steps.value(f"pair {' '.join(files)}", PAIR, make)
        return found

    def _fill(self) -> Iterator[Found]:
        """Yield the field tests that are compared with those around them."""
        for source in self.links.of((PLACED,)):
            if source.startswith("trace "):
                make = partial(self._neighbor, source)
                file = source.partition(" ")[2]
                found = self.steps.value(f"fill {file}", FOUND, make)
                if found is not None:
                    yield found

    def _neighbor(self, source: str) -> Found | None:
        return neighbor_of(self.archive, self.trace_of(source))

    def _flags(self) -> None:
        """Place each doubt in its file, and tell of which the flags have changed."""
        steps, lead = self.steps, "flags "
        history = {one.partition(" ")[2] for one in self.links.of(BY_HISTORY)}
        if not steps.keeps:  # each is placed when somebody asks
            found = partial(self._flags_now, history)
            self.archive.across_flags = OnDemand(self.doubted | history, found)
            return
        for file in self.doubted:
            steps.shake(f"{lead}{file}")
        kept = [one for one in steps.store.steps if one.startswith(lead)]
        held = {one.removeprefix(lead) for one in kept if steps.stands(one)}
        moved = {one.removeprefix(lead) for one in kept} - held | self.doubted
        placed: set[str] = set()
        for file in sorted(moved):
            said = self._said_of(file)
            if said:
                make = partial(self._flagged, file, said)
                steps.value(f"{lead}{file}", FLAGS, make)
                placed.add(file)
        placed |= held

        def flags_of(file: str) -> Flags:
            across = steps.read(f"{lead}{file}", FLAGS) if file in placed else ()
            more = self._told(f"trace {file}")[1] if file in history else ()
            return (*across, *more)

        self.archive.across_flags = OnDemand(placed | history, flags_of)
        asked = (("across", file) for file in sorted(moved | self.history_moved))
        steps.learn("across", lambda file: digest_of(flags_of(file)), asked)

    def _flags_now(self, history: Collection[str], file: str) -> Flags:
        """Place what is said of a file, and return it with what its history says."""
        across = self._flagged(file, self._said_of(file))
        more = self._told(f"trace {file}")[1] if file in history else ()
        return (*across, *more)

    def _said_of(self, file: str) -> list[Said]:
        """Return what is said of a file, in the order of the rules."""
        keys = [key_of(text) for text in self.links.of(("file", file))]
        keys.sort(key=lambda key: (RANK.index(key[0]), key))
        texts = filter(None, (self.links.said_of(key, file) for key in keys))
        said: tuple[Said, ...] = SAID.read(
            [one for some in texts for one in loaded(some)]
        )
        return list(said)

    def _flagged(self, file: str, said: list[Said]) -> Flags:
        if not said:
            return ()
        source = self.archive.source(file)
        return tuple(flag_of(KNOWN[name], doubt, source) for name, _, doubt in said)

    def _tell_repeats(self, pairs: tuple[Repeated, ...]) -> None:
        words = words_by_file(pairs)
        self.archive.repeats = words
        told = {file: listed(some) for file, some in words.items()}
        self.steps.tell_all("repeats", told)


def named(found: Iterable[tuple[Known, str, Doubt]]) -> tuple[Said, ...]:
    """Return doubts with the names of their flags."""
    return tuple((known.flag, file, doubt) for known, file, doubt in found)


def digest_of(flags: Flags) -> str:
    """Return the digest of flags; blank for none."""
    return short(written(FLAGS.write(flags))) if flags else ""


class OnDemand(Mapping[str, Flags]):
    """Flags by file, each read when it is asked for."""

    def __init__(self, files: Set[str], flags_of: Callable[[str], Flags]) -> None:
        self._files = files
        self._flags_of = lru_cache(MOST_HELD)(flags_of)

    def __getitem__(self, file: str) -> Flags:
        """Return the flags of a file."""
        if file not in self._files:
            raise KeyError(file)
        return self._flags_of(file)

    def __iter__(self) -> Iterator[str]:
        """Go through the files."""
        return iter(sorted(self._files))

    def __len__(self) -> int:
        """Count them."""
        return len(self._files)


def by_day(trace: Trace) -> tuple[str, str]:
    """Return by what repeat tests are put in order."""
    return str(trace.on or ""), trace.id


def in_turn(pairs: list[Repeated]) -> list[Repeated]:
    """Return the pairs of one group in the order of their tests, the earliest first."""
    later = [pair.later for pair in pairs]
    return sorted(
        pairs, key=lambda one: (later.count(one.earlier), later.count(one.later))
    )
