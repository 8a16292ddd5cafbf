"""Folder, name and kind of a record, and references to others: rules and flags."""

from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import PurePosixPath
from typing import Any

from buildsite.kinds import GROUPS, KIND_FILES, kind_named
from buildsite.kinds.kind import Kind, Ref
from buildsite.kinds.outcome import flag_of
from buildsite.record.flags import Doubt, Flag, Known, Severity
from buildsite.record.messages import join_choices, nearest
from buildsite.record.places import LAB
from buildsite.record.source import Source

FOLDERS = {
    "samples": "sample",
    "tests": "test",
    "acceptances": "test",
    "daily": "test",
    "families": "family",
}
"""Folders of a project, and the group of their records."""

NAMES = 100_000
"""Paths whose group and id are cached: a build looks each up many times."""


@lru_cache(NAMES)
def group_of(file: str) -> str:
    """
    Return the group of a file, by its folder.

    >>> group_of("records/heron-flats/tests/2026/HF-0117.yaml")
    'test'
    >>> group_of("records/equipment/M-04.yaml")
    'equipment'
    """
    parts = file.split("/")[1:]
    if parts == ["lab.yaml"]:
        return "laboratory"
    if len(parts) > 1 and parts[0] == "equipment":
        return "equipment"
    if len(parts) == 2 and parts[1] == "project.yaml":
        return "project"
    return FOLDERS.get(parts[1], "") if len(parts) > 2 else ""


@lru_cache(NAMES)
def name_of(file: str) -> str:
    """
    Return the id of a record, by the name of its file; of a project, by its folder.

    >>> name_of("records/heron-flats/project.yaml")
    'heron-flats'
    """
    folder, _, name = file.rpartition("/")
    if name == "project.yaml":
        return folder.rpartition("/")[2]
    stem, dot, suffix = name.rpartition(".")
    return stem if stem and dot and suffix else name


IDENTITY = "ISO/IEC 17025:2017, 7.5.1: a record identifies what it uses"


def known(flag: str, says: str) -> Known:
    """Return an error of a record's place or references."""
    return Known(flag, Severity.ERROR, IDENTITY, says)


NO_KIND = known("missing-field", "A required field absent or blank.")
NEWER_FORMAT = known(
    "unknown-format", "A record format that this program does not read."
)
UNKNOWN_KIND = known("unknown-kind", "An unknown kind of record.")
TAKEN_TWICE = known("id-taken-twice", "Two records of the same group with the same id.")
NAME_DIFFERS = known(
    "name-differs-from-id", "A file name that is not the id of the record."
)
WRONG_FOLDER = known(
    "record-in-wrong-folder",
    "A record in the folder of another project or group.",
)
TO_NOTHING = known(
    "reference-to-nothing", "A record that names another that does not exist."
)
WRONG_KIND = known(
    "reference-of-wrong-kind", "A record that names another of the wrong kind."
)
CYCLE = known("reference-cycle", "Records that refer to each other in a circle.")
NO_ANSWER = known(
    "reference-without-answer",
    "A record that names another that does not give the value.",
)
FORMATS = ("1",)
"""Record formats that are read; an old one is never removed."""

KNOWN = (
    NEWER_FORMAT,
    UNKNOWN_KIND,
    TAKEN_TWICE,
    NAME_DIFFERS,
    WRONG_FOLDER,
    TO_NOTHING,
    WRONG_KIND,
    CYCLE,
    NO_ANSWER,
)


OFFERED = 4
"""Most names suggested for an unknown one."""


def nearest_all(name: str, names: Iterable[str]) -> list[str]:
    """
    Return every name as near as the nearest, so as not to suggest one wrong mold.

    >>> nearest_all("M-20", ["M-01", "M-02", "M-04"])
    ['M-02']
    >>> nearest_all("M-09", ["M-01", "M-02", "R-11"])
    ['M-01', 'M-02']
    """
    from difflib import SequenceMatcher, get_close_matches  # late: few need it

    small, known = name.casefold(), sorted(names)
    swapped = [one for one in known if sorted(one.casefold()) == sorted(small)]
    if swapped:
        return swapped
    near = get_close_matches(small, [one.casefold() for one in known], OFFERED)
    scores = [SequenceMatcher(None, one, small).ratio() for one in near]
    best = [one for one, score in zip(near, scores, strict=True) if score == scores[0]]
    return [one for one in known if one.casefold() in best]


def kind_of(source: Source) -> tuple[Kind[Any, Any] | None, list[Flag]]:
    """Return a record's kind by its `kind:` line, if its format is read."""
    written = source.tree.get("format")
    if written is not None and written not in FORMATS:
        doubt = Doubt(
            ("format",),
            str(written),
            "1, the format that this program reads",
            "update the program: a newer version wrote this record",
        )
        return None, [flag_of(NEWER_FORMAT, doubt, source)]
    named = source.tree.get("kind")
    kind = kind_named(named) if isinstance(named, str) else None
    if kind is not None:
        return kind, []
    if named is None:
        doubt = Doubt((), "no kind", "a line such as kind: moisture-density", "add it")
        return None, [flag_of(NO_KIND, doubt, source)]
    near = nearest(str(named), KIND_FILES)
    mend = (
        f"did you mean {near}?" if near else "enter " + join_choices(sorted(KIND_FILES))
    )
    doubt = Doubt(("kind",), str(named), "a known kind of record", mend)
    return None, [flag_of(UNKNOWN_KIND, doubt, source)]


def article(kind: Kind[Any, Any]) -> str:
    """Return a kind with its article: a mold, an oven."""
    name = kind.title.lower()
    return f"an {name}" if name[0] in "aeiou" else f"a {name}"


def misplaced(source: Source, kind: Kind[Any, Any], record: Any) -> Iterator[Flag]:
    """Return the flags of a record whose id, folder or project is wrong."""
    name, file = name_of(source.file), PurePosixPath(source.file)
    id = getattr(record, "id", name)
    if id != name:
        what = "folder" if file.name == "project.yaml" else "file"
        doubt = Doubt(
            ("id",),
            id,
            f"{name}, the name of the {what}",
            "give both the same name",
        )
        yield flag_of(NAME_DIFFERS, doubt, source)
    apart = kind.group == "test" and file.parts[2:3] != (kind.folder,)
    if kind.group != group_of(source.file) or apart:
        doubt = Doubt(
            ("kind",),
            f"{article(kind)} in {file.parent}",
            home_of(kind),
            "move the file there with git mv",
        )
        yield flag_of(WRONG_FOLDER, doubt, source)
    project = getattr(record, "project", None)
    if project is not None and project != file.parts[1]:
        doubt = Doubt(
            ("project",),
            project,
            f"{file.parts[1]}, the folder of the file",
            "correct the line, or move the file",
        )
        yield flag_of(WRONG_FOLDER, doubt, source)


HOME = {
    "laboratory": LAB,
    "equipment": "records/equipment/",
    "project": "records/PROJECT/project.yaml",
    "sample": "records/PROJECT/samples/",
    "family": "records/PROJECT/families/",
}


def home_of(kind: Kind[Any, Any]) -> str:
    """Return the folder of the records of a kind, or their file."""
    in_project = f"records/PROJECT/{kind.folder}/"
    return in_project if kind.group == "test" else HOME[kind.group]


def group_asked(ref: Ref) -> str:
    """Return the group of the kinds that may be named there; test by default."""
    return GROUPS[ref.kinds[0]] if ref.kinds else "test"


def to_nothing(ref: Ref, ids: list[str]) -> Doubt:
    """Return the doubt about a reference to a record that does not exist."""
    near = join_choices(nearest_all(ref.id, ids))
    what = " or ".join(ref.kinds) or "test"
    mend = f"did you mean {near}?" if near else "add its record, or correct the id"
    return Doubt(ref.field, ref.id, f"the id of a {what} in this archive", mend)


def wrong_kind(ref: Ref, kind: Kind[Any, Any]) -> Doubt:
    """Return the doubt about a reference to a record of another kind."""
    return Doubt(
        ref.field,
        f"{ref.id}, {article(kind)}",
        "a " + " or ".join(ref.kinds),
        "name the right record: two ids may be interchanged",
    )


def in_a_circle(ref: Ref, file: str) -> Doubt:
    """Return the doubt about a reference in a circle."""
    return Doubt(
        ref.field,
        f"{ref.id}, which refers back to {name_of(file)}",
        "a record that does not refer to this one",
        "state the value on one of them",
    )


def no_answer(source: Source, ref: Ref, kind: Kind[Any, Any]) -> Flag:
    """Return the flag of a reference to a record that does not give the value."""
    doubt = Doubt(
        ref.field,
        f"{ref.id}, {article(kind)}",
        "a record that gives this value",
        "name a test that measures it, or state the value",
    )
    return flag_of(NO_ANSWER, doubt, source)
