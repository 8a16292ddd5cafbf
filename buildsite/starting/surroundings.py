"""What is known of a record that is not there yet, and how finely it will be read."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from datetime import date
from functools import cached_property
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import NewRecord, new_record
from buildsite.archive.identity import name_of
from buildsite.kinds import GROUPS
from buildsite.kinds.bench_spec import Bench, Reading
from buildsite.kinds.blank import USUAL_STANDARD, ArchiveContext
from buildsite.kinds.kind import Kind, Ref
from buildsite.standards.tables import designations, standard
from buildsite.values import dataclass

DAY = re.compile(rb"\b[12][0-9]{3}-[01][0-9]-[0-3][0-9]\b")
OF_STANDARD = ("method", "edition")
MOST_RECORDS = 20
"""Earlier records that are read, at most: the latest by the first day in them, which is
that of the work. Later days, of a review or a disposition, say not when it was done."""


@dataclass(frozen=True)
class Surroundings:
    """The archive, the day, and the staff code of who is at work, if git tells it."""

    archive: Archive
    today: date | None = None
    me: str = ""
    _facts: dict[Any, tuple[Any, ...]] = field(default_factory=dict)

    def known(self, kind: Kind[Any, Any], answers: Mapping[str, str]) -> dict[str, str]:
        """What is known of a new record, by the names of its asks and places."""
        found = self._everywhere(kind, answers)
        blank = kind.blank
        if blank is not None and blank.suggest is not None:
            usual = {ask.name: ask.default for ask in blank.asks if ask.default}
            if blank.serves is not None:  # the kind picks its standard itself
                usual = {USUAL_STANDARD: found.pop("standard", "")}
                found = {name: found[name] for name in found if name not in OF_STANDARD}
            so_far = {**usual, **found, **answers}
            context = ArchiveContext(so_far, self.facts, EarlierRecords(self, kind))
            found = {**blank.suggest(context), **found}
        return found

    def _everywhere(
        self, kind: Kind[Any, Any], answers: Mapping[str, str]
    ) -> dict[str, str]:
        """What any kind may be told: where, when, by whom, by which standard."""
        found = {"by": self.me} if self.me else {}
        if self.today is not None and kind.group == "test":
            found["on"] = self.today.isoformat()
        if kind.group == "sample":
            found |= self._received()
        projects = self.archive.ids("project")
        if len(projects) == 1:
            found["project"] = projects[0]
        project = answers.get("project") or found.get("project", "")
        inside = f"records/{project}/"
        samples = [x for x in self.archive.files("sample") if x.startswith(inside)]
        if samples:
            found["sample"] = name_of(samples[-1])
        return found | self._standard(kind, project, answers)

    def _received(self) -> dict[str, str]:
        """A sample is logged in as it comes: today, by who is at work."""
        found = {"received_by": self.me} if self.me else {}
        if self.today is not None:
            found["received_on"] = self.today.isoformat()
        return found

    def _standard(
        self, kind: Kind[Any, Any], project: str, answers: Mapping[str, str]
    ) -> dict[str, str]:
        """The standard that the project requires, else the laboratory's usual one."""
        record = self.archive.record("project", project)
        asked = [
            (one.standard.designation, one.standard.method, one.standard.edition or "")
            for one in getattr(record, "requirements", ())
        ]
        lab = self.archive.laboratory
        for name in lab.procedures.standards if lab is not None else ():
            known = standard(name)
            if known is not None:
                usual = known.method_when_none_named.value
                asked.append((name, usual if usual in known.methods else "", ""))
        for designation, method, edition in asked:
            named = answers.get("standard", designation)
            if is_of_test(designation, kind.standards_of) and named == designation:
                found = {"standard": designation, "method": method, "edition": edition}
                return {name: value for name, value in found.items() if value}
        return self._of_publisher(kind, answers, [name for name, *_ in asked])

    def _of_publisher(
        self, kind: Kind[Any, Any], answers: Mapping[str, str], asked: Sequence[str]
    ) -> dict[str, str]:
        """The standard of this test by whose standards the laboratory goes."""
        publisher = asked[0].partition(" ")[0] if asked else ""
        of_it = [
            name
            for name in designations(kind.standards_of)
            if kind.standards_of and name.partition(" ")[0] == publisher
        ]
        if not of_it or answers.get("standard", of_it[0]) != of_it[0]:
            return {}
        known = standard(of_it[0])
        method = known.method_when_none_named.value if known is not None else ""
        there = known is not None and method in known.methods
        return {"standard": of_it[0]} | ({"method": method} if there else {})

    def facts(
        self, asks: type, kinds: tuple[str, ...], on: date | None
    ) -> tuple[Any, ...]:
        """
        Return what equipment of some kinds answers as of a day, by id.

        Also what tests of a day answer, and projects.
        """
        key = (asks, kinds, on)
        if key not in self._facts:
            self._facts[key] = tuple(self._asked(asks, kinds, on))
        return self._facts[key]

    def _asked(
        self, asks: type, kinds: tuple[str, ...], on: date | None
    ) -> Sequence[Any]:
        found = []
        for file in self._files_of(kinds, on):
            made = self.archive.outcome(file)
            if made is None or made.kind.name not in kinds:
                continue
            ref = Ref(asks, kinds, name_of(file), (), on)
            answer = made.kind.answers(made.case, ref)
            if answer is not None:
                found.append(answer)
        return found

    def _files_of(self, kinds: tuple[str, ...], on: date | None) -> Iterator[str]:
        """Yield the files that may be of these kinds; of tests, those with the day."""
        group = GROUPS.get(kinds[0], "") if kinds else ""
        if group != "test":
            yield from self.archive.files(group)
            return
        wanted = [f"kind: {kind}".encode() for kind in kinds]
        day = on.isoformat().encode() if on is not None else b""
        for file in self.archive.files(group):
            data = self.archive.read_file(file)
            if day in data and any(line in data for line in wanted):
                yield file


def is_of_test(designation: str, test: str) -> bool:
    """Whether a standard is of a test; one that is not known here may be of any."""
    known = standard(designation)
    return known is None or test in ("", known.test)


@dataclass(frozen=True)
class EarlierRecords:
    """Finds earlier records of a kind. Few are read, however many there are."""

    about: Surroundings
    kind: Kind[Any, Any]

    def __call__(self, word: str) -> tuple[Any, ...]:
        """Records that mention a word, the latest first by the first day in them."""
        archive = self.about.archive
        wanted = re.compile(rf"(?<![\w.-]){re.escape(word)}(?![\w.-])".encode())
        dated = [
            (first[0] if (first := DAY.search(data)) else b"", file)
            for file, data in self._data
            if not word or wanted.search(data)
        ]
        found = []
        for _, file in sorted(dated, reverse=True)[:MOST_RECORDS]:
            entry = archive.entry(file)
            if entry.record is not None and entry.kind is self.kind:
                found.append(entry.record)
        return tuple(found)

    @cached_property
    def _data(self) -> list[tuple[str, bytes]]:
        archive, line = self.about.archive, f"\nkind: {self.kind.name}\n".encode()
        every = (
            (file, archive.read_file(file)) for file in archive.files(self.kind.group)
        )
        return [(file, data) for file, data in every if line in b"\n" + data]


def with_resolutions(
    archive: Archive, kind: Kind[Any, Any], id: str, answers: Mapping[str, str]
) -> NewRecord:
    """
    Write a new record with the resolution that each reading is asked to, as comments.

    What is asked is known from the kind's own bench, for the record as it will be.
    """
    record = new_record(kind, id, answers)
    after = archive.with_files({record.file: record.text.encode()})
    made = after.outcome(record.file)
    if kind.bench is None or made is None:
        return record
    text = with_resolution_comments(record.text, kind.bench(made.case))
    return replace(record, text=text)


def with_resolution_comments(text: str, bench: Bench) -> str:
    """Put above each field how finely the readings in it are asked for."""
    above: dict[str, dict[str, list[str]]] = {}
    for part in bench.parts:
        for reading in part.readings:
            if reading.resolution is not None:
                key = str(part.at[0]) if part.at else reading.name
                names = above.setdefault(key, {}).setdefault(
                    resolution_text(reading), []
                )
                names += [reading.name] if reading.name not in names else []
    for key, asked in above.items():
        lines = "".join(f"# {', '.join(names)}: {to}\n" for to, names in asked.items())
        text = f"\n{text}".replace(f"\n{key}:", f"\n{lines}{key}:", 1)[1:]
    return text


def resolution_text(reading: Reading) -> str:
    """Say how finely a reading is asked for, and by what."""
    basis = f" ({reading.basis})" if reading.basis else ""
    return f"to {reading.resolution} {reading.unit} or finer{basis}"
