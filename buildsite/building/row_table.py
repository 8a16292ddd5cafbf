"""
The rows of all tests as index pages ask for them: list by list, field by field.

Of each row its short fields are at hand, and a digest of each other one; the row itself
is read when a page shows one of those. A page that asks a field of the rows of a list
is made again if that field of one of them has changed, and if the list has.
"""

import json
from collections.abc import (
    Callable,
    Collection,
    Iterable,
    Iterator,
    Mapping,
    Sequence,
)
from dataclasses import fields
from functools import cache
from hashlib import blake2b
from operator import itemgetter
from typing import Any, overload

from buildsite.asked import Question, ask
from buildsite.building.answers import listed
from buildsite.cache.value_forms import Form, form_of, types_of
from buildsite.pages.indexes.row_lists import ALL, Of, RowLists, belongs_to
from buildsite.pages.rows import Row

SHORT = (
    *("file", "id", "page", "kind", "title", "status", "project", "sample"),
    *("soil_class", "soil_name", "source", "sampled_at", "people", "standard"),
    *("method", "day", "relies", "blocked", "revision", "issued_as", "issued_on"),
    *("moved", "governing", "wrong"),
)
"""Fields that are kept at hand."""

TOLD: Mapping[str, Any] = {
    "zone": str,
    "lift": str,
    "of_fill": str,
    "reference": str,
    "drawn": bool,
    "stands": bool,
    "left": tuple[str, ...],
    "unissued": tuple[str, ...],
    "open_flags": tuple[str, ...],
    "still": tuple[int, ...],
}
"""What a row tells of its longer fields, at hand too."""

ROW = form_of(Row)

Face = list[Any]
"""What is at hand of a row, in JSON, as `names` has it."""


@cache
def forms() -> dict[str, Form]:
    """Return the form of each field, and of what a row tells."""
    kinds = {**types_of(Row), **TOLD}
    return {name: form_of(kind) for name, kind in kinds.items()}


@cache
def places() -> dict[str, int]:
    """Return the place of each field in a face."""
    return {name: place for place, name in enumerate(forms())}


def face_of(row: Row, fields: Sequence[Any]) -> Face:
    """Return what is at hand of a row, whose fields are in JSON already."""
    own = zip(forms(), fields, strict=False)
    found = [one if is_short(name) else digest(one) for name, one in own]
    return [*found, *(forms()[name].write(getattr(row, name)) for name in TOLD)]


def is_short(name: str) -> bool:
    """Whether a field is kept at hand."""
    return name in TOLD or name in SHORT


@cache
def empty() -> dict[str, Any]:
    """Return the longer fields as they are where nothing is stated."""
    return {field.name: field.default for field in fields(Row)}


def digest(value: Any) -> str:
    """Return the digest of a field in JSON; blank for one that is empty."""
    if not value:
        return ""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return blake2b(text.encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()


@cache
def listing() -> Callable[[Face], tuple[Any, ...]]:
    """Return what tells from a face to which lists a row belongs."""
    return itemgetter(
        *(places()[name] for name in ("project", "sample", "soil_class", "relies"))
    )


def changes(
    before: Mapping[str, Face], now: Mapping[str, Face]
) -> dict[str, Collection[str]]:
    """
    Return the fields of each row that have changed.

    All of a row that came, went, or moved from one list to another; "" is the list.
    """
    found: dict[str, Collection[str]] = {}
    whole = ("", *forms())
    keys = [places()[name] for name in ("page", "id", "project", "sample")]
    keys += [places()[name] for name in ("soil_class", "relies")]
    for file in {*before, *now}:
        old, new = before.get(file), now.get(file)
        if old is new or old == new:
            continue
        if old is None or new is None or any(old[at] != new[at] for at in keys):
            found[file] = whole
        else:
            found[file] = [name for name, at in places().items() if old[at] != new[at]]
    return found


def moved(
    before: Mapping[str, Face],
    now: Mapping[str, Face],
    changed: Mapping[str, Collection[str]],
) -> set[Question]:
    """Return the questions whose answers may have moved, but for parts of lists."""
    found: set[Question] = set()
    id = places()["id"]
    for file, names in changed.items():
        lists: set[Of] = {("file", file)}
        for face in (before.get(file), now.get(file)):
            if face is not None:
                lists.add(("test", face[id]))
                lists.update(belongs_to(*listing()(face)))
        found.update(("rows", *of, name) for of in lists for name in names)
    return found


class Listed(Row):
    """A row in a list: each field is read when it is asked for, and that is noted."""

    def __init__(
        self, table: "RowTable", of: Of, file: str, soil: Row | None = None
    ) -> None:
        own = self.__dict__
        own["_table"], own["_of"], own["_file"], own["_soil"] = table, of, file, soil

    def with_soil_of(self, other: Row) -> Row:
        """Return it with the soil of another test, its reference."""
        return Listed(self._table, self._of, self._file, other)

    _table: "RowTable"
    _of: Of
    _file: str
    _soil: Row | None


def told(row: Row) -> tuple[str, Row | None]:
    """Return the file of a row in a list, and the test whose soil it has."""
    about = row.__dict__
    return about["_file"], about["_soil"]


SOIL = ("soil_class", "soil_name")
"""Fields that a field test may have of its reference."""


class Field:
    """A field of a row in a list."""

    def __init__(self, name: str, place: int) -> None:
        self._name = name
        self._place = place

    def __get__(self, row: Listed | None, owner: type) -> Any:
        """Return the field, and note that it was asked for in this list."""
        if row is None:
            return self
        name = self._name
        if row._soil is not None and name in SOIL:
            return getattr(row._soil, name)
        ask("rows", *row._of, name)
        return row._table.field(row._file, name, self._place)


for _place, _name in enumerate((*types_of(Row), *TOLD)):
    setattr(Listed, _name, Field(_name, _place))


class Rows(Sequence[Row]):
    """The rows of a list, each made when it is looked at."""

    def __init__(self, table: "RowTable", of: Of, files: Sequence[str]) -> None:
        self._table = table
        self._of = of
        self._files = files

    @overload
    def __getitem__(self, at: int) -> Row: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Row]: ...
    def __getitem__(self, at: int | slice) -> Row | Sequence[Row]:
        """Return a row by its place."""
        if isinstance(at, slice):
            return Rows(self._table, self._of, self._files[at])
        return Listed(self._table, self._of, self._files[at])

    def __len__(self) -> int:
        """Count them."""
        return len(self._files)

    def __iter__(self) -> Iterator[Row]:
        """Go through all of them."""
        return (Listed(self._table, self._of, file) for file in self._files)


class RowTable(RowLists):
    """
    The rows of all tests that are shown: `faces` of each, by file, in order.

    `read` returns a row in JSON; `changed` are the fields of each row that are not as
    in the last build, `parts_before` the digests of the parts that lists had then, of
    their files.
    """

    def __init__(
        self,
        faces: Mapping[str, Face],
        read: Callable[[str], list[Any]],
        changed: Mapping[str, Collection[str]],
        parts_before: Mapping[str, str],
        compare: Callable[[Question], object],
    ) -> None:
        self._faces = faces
        self._read = read
        self._changed = changed
        self._parts_before = parts_before
        self._compare = compare
        self._reads = [form.read for form in forms().values()]
        self._short = [is_short(name) for name in forms()]
        self.parts: dict[str, str] = {}
        self._held: dict[str, tuple[list[Any], dict[int, Any]]] = {}
        self._digests: dict[tuple[str, ...], str] = {}
        self._ids: dict[str, str] = {}
        self._files: dict[Of, list[str]] = {ALL: []}
        page, id, listed_by = places()["page"], places()["id"], listing()
        for file, face in faces.items():
            if face[page]:
                self._ids[face[id]] = file
            for of in belongs_to(*listed_by(face)):
                self._files.setdefault(of, []).append(file)

    def field(self, file: str, name: str, place: int) -> Any:
        """Return a field of a row, or what it tells."""
        at_hand, read = self._faces[file][place], self._reads[place]
        if self._short[place]:
            return read(at_hand)
        if not at_hand:
            return empty()[name]
        row, known = self._row(file)
        if place not in known:
            known[place] = read(row[place])
        return known[place]

    def _row(self, file: str) -> tuple[list[Any], dict[int, Any]]:
        """Return a row as it is kept, and its fields that were read, by place."""
        if file not in self._held:
            if len(self._held) >= MOST_HELD:
                self._held.clear()
            self._held[file] = self._read(file), {}
        return self._held[file]

    def of(self, by: str, id: str) -> Sequence[Row]:
        """Return the rows of a project, sample, soil class or piece of equipment."""
        ask("rows", by, id, "")
        return Rows(self, (by, id), self._files.get((by, id), ()))

    def one(self, id: str) -> Row | None:
        """Return the row of a test that has a page."""
        of = ("test", id)
        ask("rows", *of, "")
        return Listed(self, of, self._ids[id]) if id in self._ids else None

    def among(self, rows: Sequence[Row]) -> Sequence[Row]:
        """Return some rows, of which each is asked by itself."""
        return [
            Listed(self, ("file", file), file, soil) for file, soil in map(told, rows)
        ]

    def part(self, name: str, files: Sequence[str]) -> Sequence[Row]:
        """Return some rows as a list of its own, which is told before it is asked."""
        of = ("part", name)
        if of in self._files:
            raise ValueError(f"two lists of rows have one name: {name}")
        self._files[of] = list(files)
        self.parts[name] = listed(self._files[of])
        names = {name for file in files for name in self._changed.get(file, ())}
        if self._parts_before.get(name) != self.parts[name]:
            names = set(forms())
        for field in sorted(names - {""}):
            self._compare(("rows", *of, field))
        return Rows(self, of, files)

    def answer(self, by: str, id: str, name: str) -> str:
        """Return the digest of a field of the rows of a list; of no field, the list."""
        key = (by, id, name)
        if key not in self._digests:
            self._digests[key] = listed(self._answers((by, id), name))
        return self._digests[key]

    def _answers(self, of: Of, name: str) -> Iterator[str]:
        by, id = of
        if by == "test":
            files: Iterable[str] = (self._ids[id],) if id in self._ids else ()
        elif by == "file":
            files = (id,) if id in self._faces else ()
        else:
            files = self._files.get(of, ())
        if not name:
            yield from files
        elif name in places():
            place = places()[name]
            yield from (repr(self._faces[file][place]) for file in files)


MOST_HELD = 100
"""Rows held, of those that were read; one is some 50 KB."""
