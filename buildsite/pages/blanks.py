"""The next record of a kind, ready to fill in: its id, its place, its text."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from buildsite.exports.schema import schema_line
from buildsite.kinds.kind import Kind
from buildsite.pages.archive import Archive

NUMBERED = re.compile(r"(.*?)([0-9]+)$")


@dataclass(frozen=True, slots=True)
class NewRecord:
    """A file that is not there yet."""

    file: str
    text: str


def next_id(ids: list[str], prefix: str, digits: int) -> str:
    """
    Go on from the ids there are: the commonest beginning, its highest number plus one.

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
    Begin ids of a project that has none yet.

    >>> initials("heron-flats")
    'HF'
    """
    return "".join(word[0] for word in re.split(r"[-_.]", project) if word).upper()


def proposed_id(archive: Archive, kind: Kind[Any, Any], project: str) -> str:
    """Propose the next free id of a kind, within its project where it has one."""
    prefix = kind.blank.prefix if kind.blank is not None else ""
    if kind.group not in ("test", "sample"):
        ids = [
            id
            for id in archive.ids(kind.group)
            if NUMBERED.fullmatch(id) and NUMBERED.sub(r"\1", id) == f"{prefix}-"
        ]
        return next_id(ids, f"{prefix}-", 2)
    inside = f"records/{project}/"
    ids = [
        file.rpartition("/")[2].removesuffix(".yaml")
        for file in archive.files(kind.group)
        if file.startswith(inside)
    ]
    lead = f"{initials(project)}-{prefix}"
    return next_id(ids, lead, 4 if kind.group == "test" else 2)


def known(
    archive: Archive, kind: Kind[Any, Any], given: Mapping[str, str]
) -> dict[str, str]:
    """What the archive already says of a record that is not there yet."""
    found: dict[str, str] = {}
    projects = archive.ids("project")
    if len(projects) == 1:
        found["project"] = projects[0]
    project = given.get("project") or found.get("project", "")
    inside = f"records/{project}/"
    samples = [file for file in archive.files("sample") if file.startswith(inside)]
    if samples:
        found["sample"] = samples[-1].rpartition("/")[2].removesuffix(".yaml")
    file = archive.find("project", project)
    record = archive.entry(file).record if file is not None else None
    for requirement in getattr(record, "requirements", ())[:1]:
        found["standard"] = requirement.standard.designation
        found["method"] = requirement.standard.method
        found["edition"] = requirement.standard.edition or ""
    return found


def place_of(kind: Kind[Any, Any], id: str, project: str) -> str:
    """Where a record of a kind stands."""
    homes = {
        "equipment": f"records/equipment/{id}.yaml",
        "project": f"records/{id}/project.yaml",
        "sample": f"records/{project}/samples/{id}.yaml",
        "test": f"records/{project}/tests/{id}.yaml",
    }
    return homes[kind.group]


def new_record(kind: Kind[Any, Any], id: str, told: Mapping[str, str]) -> NewRecord:
    """
    Write a record with what is known, and blanks for the rest.

    Raises
    ------
    ValueError
        If this kind has no blank.
    """
    if kind.blank is None:
        raise ValueError(f"no blank record of kind {kind.name}")
    file = place_of(kind, id, told.get("project", ""))
    words = {ask.name: quoted(told.get(ask.name, "")) for ask in kind.blank.asks}
    text = kind.blank.text.format(id=id, **words)
    return NewRecord(file, f"{schema_line(file, kind.name)}\n{tidy(text)}")


def quoted(text: str) -> str:
    """
    Write a text so that YAML reads it back as it is.

    >>> quoted("AASHTO T 180"), quoted("a: b"), quoted("x, y")
    ('AASHTO T 180', '"a: b"', '"x, y"')
    """
    if not text or re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9 ./_()-]*", text):
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def tidy(text: str) -> str:
    """Drop blanks at the ends of lines."""
    return "".join(f"{line.rstrip()}\n" for line in text.splitlines())
