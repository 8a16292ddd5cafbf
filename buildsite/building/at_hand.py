"""What lists ask of all tests, kept as a whole: fields of rows, equipment used."""

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any, Protocol

from buildsite.asked import Question
from buildsite.building import row_table, use_table
from buildsite.building.row_table import Face, RowTable, face_of
from buildsite.building.steps import Steps
from buildsite.building.use_table import Used, UseTable, uses_in
from buildsite.cache.store import loaded, written
from buildsite.kinds.traces import Trace
from buildsite.pages.rows import Row

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
    def made(self) -> Mapping[str, Row]:
        """The rows made in this build."""

    @property
    def surveyed(self) -> Mapping[str, object]:
        """What was read in this build of the traces of tests."""

    @property
    def rows(self) -> Sequence[Row]:
        """The rows of all tests that are shown, in order of their files."""

    def row(self, file: str) -> Row:
        """Return the row of a test."""

    def trace(self, file: str) -> Trace | None:
        """Return the trace of a test."""


class AtHand:
    """The rows of all tests and the uses of equipment, as lists ask for them."""

    def __init__(self, tests: Tests) -> None:
        steps = self._steps = tests.steps
        text = steps.noted(NAME)
        folders, parts = loaded(text) if text else ([], {})
        faces, used = self._before(folders)
        self._faces = {
            file: face_of(tests.row(file))
            if file in tests.made or file not in faces
            else faces[file]
            for file in tests.shown
        }
        self._used = {
            file: uses_in(tests.trace(file))
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
        moved = row_table.moved(faces, self._faces, changed)
        steps.learn("rows", self.rows.answer, moved if text else None)
        self.uses = UseTable(self._used)
        moved = use_table.moved(used, self._used)
        steps.learn("uses", self.uses.answer, moved if text else None)

    def _before(
        self, folders: Sequence[str]
    ) -> tuple[dict[str, Face], dict[str, Used]]:
        """Return what the last build had at hand, folder by folder."""
        faces: dict[str, Face] = {}
        used: dict[str, Used] = {}
        for folder in folders:
            some_faces, some_used = loaded(
                self._steps.noted(f"{NAME} {folder}") or "[{}, {}]"
            )
            faces |= some_faces
            used |= some_used
        return faces, used

    def _compare(self, question: Question) -> None:
        self._steps.compare(question, self._steps.answers(question))

    def keep(self) -> None:
        """Keep it for the next build, once every list was laid out."""
        by_folder: dict[str, list[str]] = {}
        for file in self._used:
            by_folder.setdefault(folder_of(file), []).append(file)
        for folder, files in by_folder.items():
            name = f"{NAME} {folder}"
            if folder not in self._renewed and self._steps.note_again(name):
                continue
            faces = {file: self._faces[file] for file in files if file in self._faces}
            used = {file: self._used[file] for file in files}
            self._steps.note(name, written([faces, used]))
        self._steps.note(NAME, written([list(by_folder), self.rows.parts]))


def folder_of(file: str) -> str:
    """Return the project of a test, by its folder."""
    return file.split("/")[1]


def row_in_json(tests: Tests, file: str) -> Row | list[Any]:
    """Return a row that was made, or one of the last build in JSON."""
    if file in tests.made:
        return tests.made[file]
    found: list[Any] = loaded(tests.steps.text(f"test {file}"))
    return found
