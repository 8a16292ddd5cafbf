"""What the archive and its past answer now, each answer as a short text."""

import json
from collections.abc import Callable, Collection, Iterable, Mapping
from functools import cached_property
from hashlib import sha256

from buildsite.archive.archive import Archive
from buildsite.archive.dependents import files_with
from buildsite.archive.edits import homes_of
from buildsite.archive.uncommitted import is_gone
from buildsite.asked import Question, unasked
from buildsite.building.inputs import BuildInputs
from buildsite.cache.files import Told
from buildsite.cache.states import settled_state
from buildsite.cache.value_forms import form_of
from buildsite.record.commits import Commit, Touch
from buildsite.record.flags import Flag
from buildsite.record.places import SUFFIX

FLAGS = form_of(tuple[Flag, ...])

PARTS = {
    "listing": (
        *("named", "files", "names", "folders", "folder", "issued", "kept", "home"),
        *("listing-flags", "word"),
    ),
    "past": ("commits", "order", "held", "homes", "newest", "head", "issues"),
    "checkout": ("uncommitted", "any-uncommitted", "gone"),
}
"""Sorts of questions by the part of the world that their answers depend on."""


def short(text: str | bytes) -> str:
    """Return a digest by which two answers are told apart."""
    data = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    return sha256(data).hexdigest()[:32]


def listed(words: Iterable[str]) -> str:
    """Return the digest of a list of words."""
    return short("\0".join(words))


def said_of(touch: Touch) -> str:
    """
    Return a touch as a text, written so for each touch of every record.

    >>> said_of(Touch("records/lab.yaml", "", "3f2a"))
    ' 3f2a True records/lab.yaml'
    """
    return f"{touch.old} {touch.new} {touch.inside} {touch.path}"


class Answers:
    """
    Answers to questions (`asked.Question`), each looked up once.

    `told` are answers that the build itself gives as it goes on: traces, flags across
    records, rows.
    """

    def __init__(self, inputs: BuildInputs, archive: Archive) -> None:
        self.inputs = inputs
        self.archive = archive
        self.told: dict[Question, str] = {}
        self._known: dict[Question, str] = {}
        self._sorts: dict[str, Callable[..., str]] = {
            "file": self._file,
            "named": lambda group, id: "\0".join(archive.named(group, id)),
            "files": lambda *of: listed(archive.files(*of)),
            "names": lambda: listed(unasked(archive.names)),
            "issued": lambda: listed(unasked(archive.issued)),
            "kept": lambda: listed(unasked(archive.kept or ())),
            "home": lambda id: archive.home(id) or "",
            "uncommitted": lambda path: str(path in inputs.options.uncommitted),
            "any-uncommitted": lambda: str(bool(inputs.options.uncommitted)),
            "gone": self._gone,
            "word": lambda id: listed(files_with(archive, id)),
            "folders": lambda: listed(archive.folders()),
            "folder": lambda name: listed(archive.in_folder(name)),
            "issues": self._issues,
            "listing-flags": lambda: short(json.dumps(FLAGS.write(inputs.files.flags))),
            "head": self._head,
            "newest": self._newest,
            "homes": lambda group, id: listed(self._homes.get((group, id), ())),
            "commits": self._commits,
            "order": self._order,
            "held": self._held,
        }

    def __call__(self, question: Question) -> str:
        """Return the answer to a question."""
        told = self.told.get(question)
        if told is not None:
            return told
        if question not in self._known:
            self._known[question] = self.once(question)
        return self._known[question]

    def once(self, question: Question) -> str:
        """Return the answer to a question that is not asked again."""
        for held in (self.told, self._known):
            if question in held:
                return held[question]
        sort, *of = question
        answer = self._sorts.get(sort)
        # A question about something that is told and is no more has no answer.
        return answer(*of) if answer is not None else ""

    @property
    def sorts(self) -> Collection[str]:
        """Sorts of questions that are answered by the archive and its past."""
        return self._sorts

    def learn(self, sort: str, answer: Callable[..., str]) -> None:
        """Take the answers to a sort of question, as the build goes on."""
        self._sorts[sort] = answer

    @cached_property
    def parts(self) -> Mapping[str, str]:
        """The parts of the world, each as a short text."""
        files, here = self.inputs.files, self.inputs.options.uncommitted
        flags = json.dumps(FLAGS.write(files.flags))
        listing = listed((*files.records, "", *files.issued, "", *files.kept, flags))
        return {
            "listing": listing,
            "past": self._head(),
            "checkout": listed((listing, *sorted(here))),
        }

    def _file(self, name: str) -> str:
        known = self.inputs.states.told(name)
        if known is not None and known.digest:
            return known.digest
        return short(self.inputs.read(name)) if self.inputs.has(name) else ""

    def files_told(self, latest_ns: int) -> dict[str, Told]:
        """Return what is to be kept of each file; `latest_ns`: of the last change."""
        inputs = self.inputs
        return {
            name: Told(
                settled_state(state, latest_ns),
                self._digest_of(name),
                inputs.blobs.get(name, ""),
            )
            for name, state in inputs.states.now.items()
        }

    def _digest_of(self, name: str) -> str:
        """Return the digest of a file, if anybody asked."""
        known = self.inputs.states.told(name)
        return (
            known.digest
            if known is not None and known.digest
            else self._known.get(("file", name), "")
        )

    def _gone(self, group: str, id: str) -> str:
        return str(is_gone(self.archive, group, id, self.inputs.options.uncommitted))

    # The past. A commit's id stands for all that it came from, but for where this
    # archive stood then and for who signed, which are told beside it.

    @property
    def _log(self) -> tuple[Commit, ...]:
        past = self.inputs.history
        return past.commits if past is not None else ()

    @cached_property
    def _touches(self) -> Mapping[str, list[tuple[int, Touch]]]:
        """Path → place of each commit that touched it, and how, newest first."""
        found: dict[str, list[tuple[int, Touch]]] = {}
        for place, commit in enumerate(self._log):
            for touch in commit.touches:
                found.setdefault(touch.path, []).append((place, touch))
        return found

    @cached_property
    def _homes(self) -> Mapping[tuple[str, str], list[str]]:
        return homes_of(self._touches)

    @cached_property
    def _is_a_line(self) -> bool:
        """Whether each commit has at most one parent: their order is then their own."""
        return all(len(commit.parents) < 2 for commit in self._log)

    def _head(self) -> str:
        signed = (f"{id} {one}" for id, one in sorted(self.inputs.signatures.items()))
        return listed((*(commit.id for commit in self._log[:1]), *signed))

    def _issues(self) -> str:
        """Every commit that wrote an issued file, and which are of the main line."""
        past = self.inputs.history
        main = () if past is None or self._is_a_line else past.main
        published = {commit.id for commit in main}
        return listed(
            f"{commit.id} {commit.id in published} {said_of(touch)}"
            for commit in self._log
            for touch in commit.touches
            if touch.path.endswith(SUFFIX)
        )

    def _newest(self, path: str) -> str:
        past = self.inputs.history
        return (
            past.blob(self._log[0].id, path) if past is not None and self._log else ""
        )

    def _commits(self, path: str) -> str:
        signed = self.inputs.signatures
        touched = self._touches.get(path, ())
        return listed(
            f"{id} {signed.get(id, '')} {said_of(touch)}"
            for id, touch in ((self._log[place].id, touch) for place, touch in touched)
        )

    def _order(self, *paths: str) -> str:
        if self._is_a_line:
            return ""
        places = {place for path in paths for place, _ in self._touches.get(path, ())}
        return listed(self._log[place].id for place in sorted(places))

    def _held(self, path: str) -> str:
        return listed(touch.new for _, touch in self._touches.get(path, ()))
