"""What lists ask of all tests, kept as a whole: fields of rows, equipment used."""

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any, Protocol

from buildsite.asked import Question
from buildsite.building import row_table, use_table
from buildsite.building.row_table import RowTable, face_of
from buildsite.building.steps import Steps
from buildsite.building.use_table import UseTable, uses_in
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
        faces, used, parts = loaded(text) if text else ({}, {}, {})
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
        read = partial(row_in_json, tests)
        self.rows = RowTable(self._faces, read, changed, parts, self._compare)
        moved = row_table.moved(faces, self._faces, changed)
        steps.learn("rows", self.rows.answer, moved if text else None)
        self.uses = UseTable(self._used)
        moved = use_table.moved(used, self._used)
        steps.learn("uses", self.uses.answer, moved if text else None)

    def _compare(self, question: Question) -> None:
        self._steps.compare(question, self._steps.answers(question))

    def keep(self) -> None:
        """Keep it for the next build, once every list was laid out."""
        found = [self._faces, self._used, self.rows.parts]
        self._steps.note(NAME, written(found))


def row_in_json(tests: Tests, file: str) -> Row | list[Any]:
    """Return a row that was made, or one of the last build in JSON."""
    if file in tests.made:
        return tests.made[file]
    found: list[Any] = loaded(tests.steps.text(f"test {file}"))
    return found
