"""A new record of a kind, ready to fill in: its id, file and text."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.exports.schema import schema_line
from buildsite.kinds.kind import Kind
from buildsite.record.unseen import UNSEEN
from buildsite.values import dataclass

NUMBERED = re.compile(r"(.*?)([0-9]+)$")


PLAIN = re.compile(r"[A-Za-z0-9]([A-Za-z0-9 ./_()-]*[A-Za-z0-9)])?")
NO_NUMBERS = ("nan", "inf", "infinity")
"""Words that the reader refuses unless quoted."""


@dataclass(frozen=True)
class NewRecord:
    """A file to be written."""

    file: str
    text: str
    kind: str


def next_id(ids: list[str], prefix: str, digits: int) -> str:
    """
    Return the next id: the most common prefix, its highest number plus one.

    >>> next_id(["HF-0117", "HF-0118", "OLD-3"], "HF-", 4)
    'HF-0119'
    >>> next_id([], "HF-S", 2)
    'HF-S01'
    """
    found: dict[str, list[str]] = {}
    for id in ids:
        match = NUMBERED.fullmatch(id)
        if match:
            found.setdefault(match[1], []).append(match[2])
    if not found:
        return f"{prefix}{1:0{digits}d}"
    lead = max(sorted(found), key=lambda name: len(found[name]))
    last = max(found[lead], key=int)
    return f"{lead}{int(last) + 1:0{len(last)}d}"


def initials(project: str) -> str:
    """
    Return the prefix of the ids of a new project.

    >>> initials("heron-flats")
    'HF'
    """
    return "".join(word[0] for word in re.split(r"[-_.]", project) if word).upper()


def slug(name: str) -> str:
    """
    Return a name as a folder name: the id of a project.

    >>> slug("Heron Flats, phase 2"), slug("Δ")
    ('heron-flats-phase-2', '')
    """
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40].strip("-")


def is_taken(archive: Archive, group: str, id: str) -> bool:
    """Whether an id is in use, whatever the case of its letters."""
    return id.lower() in {each.lower() for each in archive.ids(group)}


def proposed_id(
    archive: Archive, kind: Kind[Any, Any], answers: Mapping[str, str]
) -> str:
    """Return a free id: the next of its kind, within its project if it has one."""
    if kind.group == "project":
        id = slug(answers.get("name", ""))
        if id and not is_taken(archive, "project", id):
            return id
    prefix = kind.blank.prefix if kind.blank is not None else ""
    project, lead, digits = answers.get("project", ""), f"{prefix}-", 2
    if kind.group in ("test", "sample"):
        lead = f"{initials(project)}-{prefix}"
        digits = 4 if kind.group == "test" else 2
        ids = ids_beside(archive, kind, project)
        if kind.group == "test":
            ids = ids_alike(ids, f"{initials(project)}-", prefix)
    else:
        ids = [id for id in archive.ids(kind.group) if NUMBERED.sub(r"\1", id) == lead]
    id = next_id(ids, lead, digits)
    while is_taken(archive, kind.group, id):  # by another project
        id = next_id([id], lead, digits)
    return id


def ids_beside(archive: Archive, kind: Kind[Any, Any], project: str) -> list[str]:
    """Return the ids in the folder where a record of a kind will stand."""
    folder = place_of(kind, "", project).rpartition("/")[0] + "/"
    files = archive.files(kind.group)
    return [name_of(file) for file in files if file.startswith(folder)]


def ids_alike(ids: Sequence[str], lead: str, prefix: str) -> list[str]:
    """
    Return the ids of the tests that are numbered together.

    A letter after the project's initials tells kinds of test apart: field tests from
    those of the laboratory, which have none.

    >>> ids_alike(["HF-0117", "HF-F0012", "HF-P0003"], "HF-", "F")
    ['HF-F0012']
    >>> ids_alike(["HF-0117", "HF-F0012", "OLD-3"], "HF-", "")
    ['HF-0117', 'OLD-3']
    """
    if prefix:
        return [id for id in ids if NUMBERED.sub(r"\1", id) == lead + prefix]
    lettered = re.compile(re.escape(lead) + "[A-Z][0-9]+")
    return [id for id in ids if not lettered.fullmatch(id)]


def place_of(kind: Kind[Any, Any], id: str, project: str) -> str:
    """Return the file of a record of a kind."""
    homes = {
        "equipment": f"records/equipment/{id}.yaml",
        "project": f"records/{id}/project.yaml",
        "sample": f"records/{project}/samples/{id}.yaml",
        "family": f"records/{project}/families/{id}.yaml",
        "test": f"records/{project}/{kind.folder}/{id}.yaml",
    }
    return homes[kind.group]


def new_record(kind: Kind[Any, Any], id: str, answers: Mapping[str, str]) -> NewRecord:
    """
    Return a record with the values known, and blanks for the rest.

    Raises
    ------
    ValueError
        If this kind has no blank record.
    """
    if kind.blank is None:
        raise ValueError(f"no blank record of kind {kind.name}")
    file = place_of(kind, id, answers.get("project", ""))
    names = (*(ask.name for ask in kind.blank.asks), *kind.blank.places)
    lists = {ask.name: ask.split for ask in kind.blank.asks if ask.split is not None}
    words = {
        name: flow_text(lists[name](answers[name]))
        if name in lists and answers.get(name)
        else field_text(name, answers.get(name) or kind.blank.usual.get(name, ""))
        for name in names
    }
    text = kind.blank.text_for(answers).format(id=id, **words)
    text = f"{schema_line(file, kind.name)}\n{tidy(text)}"
    return NewRecord(file, text, kind.name)


def field_text(name: str, value: str) -> str:
    """Return a value as YAML, or for a comment."""
    return UNSEEN.sub(" ", value) if name.endswith("_note") else quoted(value)


def flow_text(value: str | Sequence[Any] | Mapping[str, Any] | None) -> str:
    """
    Return lists and mappings of texts on one line of YAML; what is blank stays so.

    >>> flow_text([{"mass": "500", "read": "500.02"}]), flow_text(["a: b"])
    ('[{mass: 500, read: 500.02}]', '["a: b"]')
    >>> flow_text({"container": "21", "container_and_dry": None})
    '{container: 21, container_and_dry: }'
    """
    if value is None:
        return ""
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, Mapping):
        return (
            "{"
            + ", ".join(f"{key}: {flow_text(one)}" for key, one in value.items())
            + "}"
        )
    return "[" + ", ".join(map(flow_text, value)) + "]"


def quoted(text: str) -> str:
    """
    Return a text quoted so that YAML reads it back unchanged.

    An invisible character, which the reader refuses, becomes a space.

    >>> quoted("AASHTO T 180"), quoted("a: b"), quoted("x, y")
    ('AASHTO T 180', '"a: b"', '"x, y"')
    """
    text = UNSEEN.sub(" ", text)
    plain = PLAIN.fullmatch(text) and text.lower() not in NO_NUMBERS
    if not text or plain:
        return text
    return '"' + "".join(map(escaped, text)) + '"'


def escaped(letter: str) -> str:
    """Return one letter as written in a quoted scalar."""
    if letter in '"\\':
        return f"\\{letter}"
    return letter if letter.isprintable() else f"\\U{ord(letter):08X}"


def tidy(text: str) -> str:
    """Return a text without spaces at the ends of lines."""
    return "".join(f"{line.rstrip()}\n" for line in text.splitlines())
