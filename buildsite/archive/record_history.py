"""
The history of a record: what each edit changed.

A result changes when a value used changes, in whichever file. So a test is computed at
each commit that touched its record or one that it uses, and before it. Archives are
restricted to those files, each file is read once, and states are computed once that
differ in no file that was read for them.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from functools import cached_property
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.commit_changes import CommitChanges
from buildsite.archive.differences import (
    result_changes,
)
from buildsite.archive.edits import (
    NOT_CHECKED,
    NOWHERE,
    Edit,
    HistoricState,
    Timeline,
    change_of_place,
    codes_by_email,
    editor,
    homes_of,
    is_written,
    reason_of,
)
from buildsite.archive.entries import Shared
from buildsite.archive.identity import group_asked, group_of, name_of
from buildsite.archive.records import Key
from buildsite.archive.verdicts import follow_of_edit
from buildsite.asked import Asking, Kept, ask, questions
from buildsite.record.commits import Commit, Past, Signature, places_touching
from buildsite.record.flags import new_flags
from buildsite.record.issued import ITEM_BEGINS
from buildsite.record.places import LAB, SUFFIX
from buildsite.values import dataclass

ArchiveAt = Callable[[str, Sequence[str]], Archive]
"""Commit and paths → the archive at that commit, with only those paths."""


Files = Mapping[str, str]
"""Paths and the names of their blobs."""

Seen = tuple[Files, HistoricState]
"""A state of a record, and the files that were read for it."""


@dataclass
class RecordHistory:
    """
    Records at each commit. One object serves all tests: they share what was read.

    `stands` is the commit of the present records, empty if they are not committed;
    `signatures` the state of each commit's signature, if checked.
    """

    past: Past
    archive_at: ArchiveAt
    signatures: Mapping[str, Signature] = field(default_factory=dict)
    stands: str = ""
    shared: Shared = field(default_factory=Shared)
    _now: dict[str, HistoricState] = field(default_factory=dict)
    _last: Kept[Timeline] = field(default_factory=Kept)
    _names: dict[str, list[Key]] = field(default_factory=dict)
    _states: dict[tuple[str, tuple[str, ...]], list[Seen]] = field(default_factory=dict)

    @property
    def touching(self) -> Mapping[str, list[int]]:
        """Path → places in `past.commits` of commits that touched it, newest first."""
        return Asking(self._touching, "commits")

    @cached_property
    def _touching(self) -> Mapping[str, list[int]]:
        return places_touching(self.past)

    @cached_property
    def _homes(self) -> Mapping[Key, list[str]]:
        """Group and id → every path that ever held the record or its issued files."""
        return homes_of(self._touching)

    @cached_property
    def laboratory(self) -> Any:
        """The laboratory's record at the newest commit."""
        commits = self.past.commits
        state = self.state(commits[0].id, LAB, (LAB,)) if commits else NOWHERE
        return state.outcome.case.record if state.outcome is not None else None

    @cached_property
    def _emails(self) -> Mapping[str, str]:
        return codes_by_email(self.laboratory)

    def remember(self, archive: Archive, file: str) -> None:
        """Store the present outcome of a record, so as not to compute it again."""
        entry, made = archive.entry(file), archive.computed(file)
        if made is not None and self.stands:
            flags = (*made.flags, *archive.wrong_through(file))
            self._now[file] = HistoricState(file, entry, made, flags)

    def timeline(self, file: str) -> Timeline:
        """
        Return every edit of a test's record or of one that it uses, newest first.

        The last one is remembered: a test's pages and its row in lists both want it.
        """
        if file not in self._last:
            self._last.clear()
        return self._last.get(file, lambda: self._timeline(file))

    def _timeline(self, file: str) -> Timeline:
        edits = tuple(self.edits(file))
        return Timeline(name_of(file), file, edits, self._issued(file))

    def _issued(self, file: str) -> tuple[int, ...]:
        """Return the place of the commit of each issued item of a test."""
        own = self._homes.get((group_of(file), name_of(file).lower()), ())
        issued = [path for path in own if path.endswith(SUFFIX)]
        found: list[int] = []
        for place in sorted(
            {p for path in issued for p in self._touching[path]}, reverse=True
        ):
            commit = self.past.commits[place].id
            texts = [self.past.read(commit, path) or b"" for path in issued]
            here = max(len(ITEM_BEGINS.findall(text)) for text in texts)
            found += [place] * (here - len(found))
        return tuple(found)

    def forget(self, file: str) -> None:
        """Forget what no other test needs: an archive may hold thousands."""
        self._states.clear()
        self._now.clear()
        self._last.clear()
        self.shared.forget(self._homes.get((group_of(file), name_of(file).lower()), ()))

    def edits(self, file: str) -> Iterator[Edit]:
        """Return the edits of a record and of all it ever used, newest first."""
        paths = self.paths_relied_on(file)
        places = {n for path in paths for n in self._touching.get(path, ())}
        for place in sorted(places):
            edit = self._edit(self.past.commits[place], file, paths)
            if edit is not None:
                yield replace(edit, place=place)

    def paths_relied_on(self, file: str) -> tuple[str, ...]:
        """
        Return every path that a record ever had, and those of all it ever named.

        Every state of its files is read for the records that it names.
        """
        own = (group_of(file), name_of(file).lower())
        waiting, seen = [own], set[Key]()
        paths: list[str] = []
        ask("newest", LAB)  # it tells who made an edit
        while waiting:
            key = waiting.pop()
            if key in seen:
                continue
            seen.add(key)
            ask("homes", *key)
            for path in self._homes.get(key, ()):
                ask("commits", path)
                if key == own and not is_written(path):
                    continue  # its issued files don't change it
                paths.append(path)
                waiting += self._refs_in(path) if key == own else self._named(path)
        ask("order", *sorted(paths), *self._homes.get(own, ()))
        return tuple(sorted(paths))

    def _named(self, path: str) -> list[Key]:
        """Return the records that a file named at any commit, found once for all."""
        if path not in self._names:
            self._names[path] = self._refs_in(path)
        return self._names[path]

    def _refs_in(self, path: str) -> list[Key]:
        """Return the records that a file named at any commit."""
        named: dict[Key, None] = {}
        if not is_written(path):
            return []
        for place in self._touching.get(path, ()):
            commit = self.past.commits[place].id
            data = self.past.read(commit, path)
            if data is None:
                continue
            for ref in self.shared.entry(path, data).refs:
                named[group_asked(ref), ref.id.lower()] = None
        return list(named)

    def _archive(self, commit: str, paths: Sequence[str]) -> Archive:
        archive = self.archive_at(commit, paths)
        archive.shared = self.shared
        return archive

    def state(self, commit: str, file: str, paths: Sequence[str]) -> HistoricState:
        """Return a record at a commit, from these paths only, wherever its file was."""
        there = self._files(commit, paths)
        seen = self._states.setdefault((file, tuple(there)), [])
        for read, state in seen:
            if all(there.get(path, "") == blob for path, blob in read.items()):
                return state
        now = self._now.get(file)
        if now is not None and there == self._files(self.stands, paths):
            seen.append((there, now))
        else:
            seen.append(self._look(commit, file, there))
        return seen[-1][1]

    def _files(self, commit: str, paths: Sequence[str]) -> Files:
        """Return those of the paths that were there at a commit."""
        found = ((path, self.past.blob(commit, path)) for path in paths)
        return {path: blob for path, blob in found if blob}

    def _look(self, commit: str, file: str, there: Files) -> Seen:
        """Compute a record from these files, and note which of them it took."""
        read: dict[str, str] = {}
        own = (group_of(file), name_of(file))
        homes = [
            path
            for path in there
            if is_written(path) and (group_of(path), name_of(path)) == own
        ]
        if not homes:
            return read, NOWHERE
        here = file if file in homes else homes[0]
        archive = self._archive(commit, tuple(there))
        whole = archive.read_file

        def noted(name: str) -> bytes:
            read[name] = there.get(name, "")
            return whole(name)

        archive.read_file = noted
        archive.past_of = here
        archive.beside = tuple(pair for pair in there.items() if pair[0] != here)
        with questions() as asked:
            made, flags = archive.computed(here), archive.flags(here)
        for sort, *of in asked:
            if sort == "file":  # answered from it in another state: not read again
                read[of[0]] = there.get(of[0], "")
        return read, HistoricState(here, archive.entry(here), made, flags)

    def _edit(self, commit: Commit, file: str, paths: Sequence[str]) -> Edit | None:
        """Return the edit of a record by a commit; None for a merge without effect."""
        new = self.state(commit.id, file, paths)
        olds = [self.state(parent, file, paths) for parent in commit.parents]
        old = olds[0] if olds else NOWHERE
        wanted = set(paths)
        touched = [t.path for t in commit.touches if t.path in wanted and t.inside]
        merge = len(olds) > 1
        if (
            merge and touched and old.used == new.used
        ):  # it dropped a change of another parent
            old = next((one for one in olds if one.used != new.used), old)
        joins = merge and all(new.used != one.used for one in olds)
        if merge and not touched and not joins:
            return None
        if not old.file and not new.file:
            return None  # records used, before it existed or after it was removed
        reported = (one.outcome.results if one.outcome else {} for one in (old, new))
        unread = new.unread
        changes = CommitChanges(self.past, self.shared, commit, touched)
        return Edit(
            commit=commit,
            who=editor(commit, self.laboratory, self._emails),
            reason=reason_of(commit),
            files=tuple(touched),
            placed=change_of_place(old.file, new.file),
            fields=(*changes.fields(), *changes.reports()),
            results=tuple(result_changes(*reported)),
            came=new_flags(new.flags, old.flags),
            went=new_flags(old.flags, new.flags),
            moved=not new.uses_as(old),
            unread=unread,
            text=self._text(commit.id, new.file) if unread else "",
            joins=joins,
            signature=self.signatures.get(commit.id, NOT_CHECKED),
            verdict=follow_of_edit(old.outcome, new.outcome),
        )

    def _text(self, commit: str, path: str) -> str:
        return (self.past.read(commit, path) or b"").decode("utf-8", errors="replace")


def timeline(past: Past, file: str, archive_at: ArchiveAt) -> Timeline:
    """Return the timeline of one test; for several, make one `RecordHistory`."""
    return RecordHistory(past, archive_at).timeline(file)
