"""What lists ask of all tests, kept as a whole: fields of rows, equipment used."""

from collections.abc import Collection, Mapping, Sequence
from functools import partial
from typing import Any, Protocol

from buildsite.asked import Question
from buildsite.building import row_table, use_table
from buildsite.building.row_table import ROW, Face, RowTable, face_of
from buildsite.building.steps import Steps
from buildsite.building.use_table import Used, UseTable, uses_in
from buildsite.cache.shelf import Shelf
from buildsite.cache.store import loaded, written
from buildsite.kinds.traces import Trace
from buildsite.values import Same

NAME = "at hand"


class Tests(Protocol):
    """What a build knows of all tests: those made now, and those of the last build."""

    steps: Steps

    @property
    def tests(self) -> Sequence[str]:
        """All tests by file."""

    @property
    def shown(self) -> Sequence[str]:
        """Those that have pages."""

    @property
    def made(self) -> Collection[str]:
        """Tests whose rows were made in this build."""

    @property
    def faces(self) -> Shelf:
        """What is at hand of those rows, in JSON."""

    @property
    def surveyed(self) -> Collection[str]:
        """Tests whose traces were read in this build."""

    def trace(self, file: str) -> Trace | None:
        """Return the trace of a test."""


class AtHand:
    """The rows of all tests and the uses of equipment, as lists ask for them."""

    def __init__(self, tests: Tests) -> None:
        steps = self._steps = tests.steps
        text = steps.noted(NAME)
        folders, parts = loaded(text) if text else ([], {})
        faces, used = self._before(folders)
        one_of_each = Same()
        self._faces = {
            file: one_of_each(face_now(tests, file))
            if file in tests.made or file not in faces
            else faces[file]
            for file in tests.shown
        }
        self._used = {
            file: one_of_each(uses_in(tests.trace(file)))
            if file in tests.surveyed or file not in used
            else used[file]
            for file in tests.tests
        }
        changed = row_table.changes(faces, self._faces)
        differ = {file for file, one in self._used.items() if one != used.get(file)}
        gone = (faces.keys() | used.keys()) - self._used.keys()
        self._renewed = {folder_of(file) for file in (*changed, *differ, *gone)}
        read = partial(row_in_json, tests)
        self.rows = RowTable(self._faces, read, changed, parts, self._compare)
        moved = row_table.moved(faces, self._faces, changed) if text else None
        steps.learn("rows", self.rows.answer, moved)
        self.uses = UseTable(self._used)
        moved = use_table.moved(used, self._used) if text else None
        steps.learn("uses", self.uses.answer, moved)

    def _before(
        self, folders: Sequence[str]
    ) -> tuple[dict[str, Face], dict[str, Used]]:
        """Return what the last build had at hand, folder by folder."""
        faces: dict[str, Face] = {}
        used: dict[str, Used] = {}
        for folder in folders:
            text = self._steps.noted(f"{NAME} {folder}") or "[[], {}, {}]"
            values, places, some_used = loaded(text)
            for file, some in places.items():
                faces[file] = [values[place] for place in some]
            used |= some_used
        return faces, used

    def _compare(self, question: Question) -> None:
        self._steps.compare(question, self._steps.answers(question))

    def keep(self) -> None:
        """Keep it for the next build, once every list was laid out."""
        if not self._steps.keeps:
            return
        by_folder: dict[str, list[str]] = {}
        for file in self._used:
            by_folder.setdefault(folder_of(file), []).append(file)
        for folder, files in by_folder.items():
            name = f"{NAME} {folder}"
            if folder not in self._renewed and self._steps.note_again(name):
                continue
            faces = {file: self._faces[file] for file in files if file in self._faces}
            used = {file: self._used[file] for file in files}
            self._steps.note(name, written([*told_once(faces), used]))
        self._steps.note(NAME, written([list(by_folder), self.rows.parts]))


def told_once(faces: Mapping[str, Face]) -> tuple[list[Any], dict[str, list[int]]]:
    """
    Return the values of many faces, of which most are alike, and of each face where.

    >>> told_once({"a": ["North", 2], "b": ["North", 3]})
    (['North', 2, 3], {'a': [0, 1], 'b': [0, 2]})
    """
    values: list[Any] = []
    known: dict[str, int] = {}
    places: dict[str, list[int]] = {}
    for file, face in faces.items():
        places[file] = some = []
        for one in face:
            place = known.setdefault(written(one), len(values))
            if place == len(values):
                values.append(one)
            some.append(place)
    return values, places


def folder_of(file: str) -> str:
    """Return the project of a test, by its folder."""
    return file.split("/")[1]


def face_now(tests: Tests, file: str) -> Face:
    """Return what is at hand of a row, as it is now."""
    if file in tests.made:
        found: Face = loaded(tests.faces.get(file))
        return found
    fields = row_in_json(tests, file)
    return face_of(ROW.read(fields), fields)


def row_in_json(tests: Tests, file: str) -> list[Any]:
    """Return a row in JSON."""
    found: list[Any] = loaded(tests.steps.text(f"test {file}"))
    return found
