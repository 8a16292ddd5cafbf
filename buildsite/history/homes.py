"""
Places of an archive in its repository: one at each commit.

An archive stands where its lab.yaml stands, and its state at a commit is what that
folder held: nothing that stood elsewhere. Going back from the newest commit, the place
stays the same until its lab.yaml is not there; then the archive came from the place
that it left, or of which it is a copy. What a move leaves behind is removed by it.
"""

from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from dataclasses import field

from buildsite.history.path_states import PathStates, first_parents
from buildsite.record.commits import Commit, Touch
from buildsite.record.places import LAB, SUFFIX
from buildsite.values import dataclass

RECORDS = "records/"
LAB_NAME = LAB.removeprefix(RECORDS)


@dataclass(frozen=True)
class Stood:
    """A file of another place, by an archive's own path: its blob and a commit."""

    path: str
    blob: str
    commit: str


@dataclass(frozen=True)
class OtherPlace:
    """
    Another archive of the repository, or what went on at a place that was left.

    `stands`: it is another archive that stands at the newest commit; `gone`: the commit
    that removed it; `earlier`: it stood before this archive began; `left`: this archive
    came from there, and it went on there; `stood`: every record and issued file that
    stood there then.
    """

    place: str
    stands: bool
    gone: str
    earlier: bool
    left: bool
    stood: tuple[Stood, ...]


@dataclass(frozen=True)
class Settled:
    """Commits with the archive's own paths, and the other archives."""

    commits: tuple[Commit, ...]
    others: tuple[OtherPlace, ...] = ()


def settled(
    commits: Sequence[Commit], here: str, now: Callable[[], Mapping[str, Set[str]]]
) -> Settled:
    """
    Return commits with the touches of one archive, by its own paths.

    `commits` have the paths of the repository, children before parents; `here` is the
    archive's place now. `now` tells the names of the issued files at each place that
    stands in the commit checked out: the place may be another one in another branch.
    """
    places = places_in(commits)
    if not places - {here}:
        return Settled(tuple(within(commit, here) for commit in commits))
    homes = Homes(commits, here, places, now())
    return Settled(tuple(map(homes.own, commits)), tuple(homes.others()))


def places_in(commits: Sequence[Commit]) -> set[str]:
    """Return every place at which a lab.yaml ever stood."""
    return {
        touch.path.removesuffix(LAB_NAME)
        for commit in commits
        for touch in commit.touches
        if touch.path == LAB or touch.path.endswith(f"/{LAB}")
    }


def within(commit: Commit, place: str) -> Commit:
    """Return a commit with its touches at a place, by the archive's own paths."""
    skip = len(place) - len(RECORDS)
    touches = commit.touches
    if not skip and all(touch.path.startswith(place) for touch in touches):
        return commit
    own = (
        touch._replace(path=touch.path[skip:]) if skip else touch
        for touch in touches
        if touch.path.startswith(place)
    )
    return commit._replace(touches=tuple(own))


@dataclass
class Homes:
    """
    The place of an archive at each commit, from what stood at every place.

    `at`: its place, blank where it had not begun and another archive stood there;
    `held`: the next commit, or itself, in which it held anything.
    """

    commits: Sequence[Commit]
    here: str
    places: Set[str]
    now: Mapping[str, Set[str]]
    at: dict[str, str] = field(default_factory=dict)
    held: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find the place at each commit, first along the first parents."""
        self.by_id = {commit.id: commit for commit in self.commits}
        self.states = PathStates(self.commits, self.by_id)
        self.files = {
            place: [path for path in self.states.paths if path.startswith(place)]
            for place in self.places | {self.here}
        }
        tip = self.commits[0].id
        waiting = deque([(tip, "")])
        while waiting:
            id, after = waiting.popleft()
            while id and id not in self.at:
                place = self.at[id] = self._before(id, after)
                held = self.held.get(after, "")
                if self._stands(id, place) or (held == after and self.names(id, place)):
                    held = id
                self.held[id] = held
                first, *others = self.by_id[id].parents or ("",)
                waiting += [(one, id) for one in others]
                id, after = first, id

    def _before(self, commit: str, after: str) -> str:
        """
        Return the place at a commit of the archive that stood somewhere after it.

        `after` is the commit there, blank for the one checked out. The archive came
        from a place that is gone then, or with which it shares issued files; if there
        is none, it began at its place. Blank: another archive stood there before.
        """
        place = self.at[after] if after else self.here
        held = self.held[after] if after else ""
        if not place or self._stands(commit, place):
            back = held != after and place  # it was away
            other = back and not self.issued(commit, place) & self.issued(held, place)
            return "" if other else place
        if held != after:
            return place
        standing = [one for one in sorted(self.places) if self._stands(commit, one)]
        ranked = [(*self._likeness(commit, one, place, after), one) for one in standing]
        fit = [one for one in ranked if one[0] >= 0 and any(one[:2])]
        if fit:
            return max(fit)[2]
        rest = [one for one in self.places | {self.here} if one not in standing]
        most = max((len(self.names(commit, one)), one == place, one) for one in rest)
        return most[2] if most[0] else place

    def _likeness(
        self, commit: str, old: str, place: str, after: str
    ) -> tuple[int, bool]:
        """
        Return how many issued files an archive shares with one before; if that is gone.

        -1 if a third archive afterwards shares more of them: that one came from there.
        """
        then = (
            {
                one: self.issued(after, one)
                for one in self.places
                if self._stands(after, one)
            }
            if after
            else self.now
        )
        before = self.issued(commit, old)
        known = self.issued(after, place) if after else self.now.get(place, frozenset())
        shared = len(known & before)
        others = (len(then[one] & before) for one in then if one != old)
        return (shared if shared >= max(others, default=0) else -1), old not in then

    def _stands(self, commit: str, place: str) -> bool:
        """Whether an archive stands at a place at a commit."""
        return bool(place) and bool(self.states.blob(commit, place + LAB_NAME))

    def issued(self, commit: str, place: str) -> Set[str]:
        """Return the names of the issued files at a place, without folders."""
        return {
            path.rpartition("/")[2]
            for path in self.files.get(place, ())
            if path.endswith(SUFFIX) and self.states.blob(commit, path)
        }

    def names(self, commit: str, place: str) -> dict[str, str]:
        """Return the blobs at a place, by the archive's own paths."""
        skip = len(place) - len(RECORDS)
        files = self.files.get(place, ())
        found = {path: self.states.blob(commit, path) for path in files}
        return {path[skip:]: blob for path, blob in found.items() if blob}

    def own(self, commit: Commit) -> Commit:
        """Return a commit with what it changed in the archive, wherever that stood."""
        place = self.at[commit.id]
        parent = commit.parents[0] if commit.parents else ""
        if not parent or self.at[parent] == place:
            return within(commit, place) if place else commit._replace(touches=())
        old, new = self.names(parent, self.at[parent]), self.names(commit.id, place)
        touches = (
            Touch(path, old.get(path, ""), new.get(path, ""))
            for path in sorted(old.keys() | new.keys())
            if old.get(path) != new.get(path)
        )
        return commit._replace(touches=tuple(touches))

    def others(self) -> Iterator[OtherPlace]:
        """Yield what stood at another place than the archive, on any branch."""
        later = self._since_begun()
        for place in sorted(self.places):
            found = [*self._elsewhere(place)]
            earlier = any(commit.id not in later for commit, _ in found)
            tip = self.commits[0].id
            stands = place != self.at[tip] and self._stands(tip, place)
            gone = self._gone(place)
            for left in (False, True):
                commits = [commit for commit, went_on in found if went_on == left]
                stood = tuple(one for c in commits for one in self._stood(c, place))
                if stood:
                    yield OtherPlace(place, stands, gone, earlier, left, stood)

    def _elsewhere(self, place: str) -> Iterator[tuple[Commit, bool]]:
        """Yield each commit with another archive at a place, and whether it went on."""
        ours = set[str]()
        for commit in reversed(self.commits):
            if not self._stands(commit.id, place):
                continue
            own = self.at[commit.id] == place
            went_on = not ours.isdisjoint(commit.parents)
            if own or went_on:
                ours.add(commit.id)
            if not own:
                yield commit, went_on

    def _gone(self, place: str) -> str:
        """Return the latest commit that removed the archive at a place, if any."""
        gone = (
            commit.id
            for commit in self.commits
            if not self._stands(commit.id, place)
            and any(self._stands(parent, place) for parent in commit.parents)
        )
        return next(gone, "")

    def _since_begun(self) -> Set[str]:
        """Return the first commit along first parents with the archive, and later."""
        main = [*first_parents(self.commits[0], self.by_id, {})]
        touched = (one.id for one in reversed(main) if self.held[one.id] == one.id)
        found = {next(touched, "")}
        for commit in reversed(self.commits):
            if not found.isdisjoint(commit.parents):
                found.add(commit.id)
        return found

    def _stood(self, commit: Commit, place: str) -> Iterator[Stood]:
        """Yield the records and issued files that a commit brought to a place."""
        skip = len(place) - len(RECORDS)
        new = {t.path[skip:]: t.new for t in commit.touches if t.path.startswith(place)}
        for path, blob in (self.names(commit.id, place) if LAB in new else new).items():
            if blob and path.endswith(".yaml"):
                yield Stood(path, blob, commit.id)
