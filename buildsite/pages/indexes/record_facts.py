"""What lists show of projects and samples: a few facts of each record of a folder."""

from datetime import date
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.archive.identity import group_of, name_of
from buildsite.record.flags import Flag
from buildsite.values import dataclass


@dataclass(frozen=True)
class SampleLine:
    """A sample in a list; blank where its record states nothing or can't be read."""

    file: str
    page: bool
    soil: str = ""
    class_: str = ""
    group: str = ""
    source: str = ""
    place: str = ""
    received: date | None = None

    @property
    def id(self) -> str:
        """Its id."""
        return name_of(self.file)


@dataclass(frozen=True)
class ProjectLine:
    """A project in a list."""

    file: str
    page: bool
    read: bool  # whether its record can be read
    name: str = ""
    customer: str = ""


@dataclass(frozen=True)
class RecordsOf:
    """What lists show of the records in a folder, but tests; flags by file."""

    project: ProjectLine | None
    samples: tuple[SampleLine, ...]
    flags: tuple[tuple[str, tuple[Flag, ...]], ...]


def records_of(archive: Archive, folder: str) -> RecordsOf:
    """Return what is listed of the records in a folder."""
    files = [file for file in archive.in_folder(folder) if group_of(file) != "test"]
    flags = ((file, archive.flags(file)) for file in files)
    projects = [file for file in files if group_of(file) == "project"]
    return RecordsOf(
        project_line(archive, projects[0]) if projects else None,
        tuple(
            sample_line(archive, file) for file in files if group_of(file) == "sample"
        ),
        tuple((file, found) for file, found in flags if found),
    )


def record_at(archive: Archive, file: str) -> Any:
    """Return a record; None if it can't be read."""
    made = archive.outcome(file)
    return made.case.record if made is not None else None


def project_line(archive: Archive, file: str) -> ProjectLine:
    """Return what is listed of a project."""
    record, page = record_at(archive, file), archive.has_page(file)
    if record is None:
        return ProjectLine(file, page, read=False)
    customer = getattr(record, "customer", None)
    return ProjectLine(
        file, page, True, getattr(record, "name", ""), getattr(customer, "name", "")
    )


def sample_line(archive: Archive, file: str) -> SampleLine:
    """Return what is listed of a sample."""
    record = record_at(archive, file)
    soil, taken = getattr(record, "soil", None), getattr(record, "sampled", None)
    received = getattr(record, "received", None)
    return SampleLine(
        file,
        archive.has_page(file),
        (soil and soil.name) or "",
        (soil and soil.class_) or "",
        (soil and soil.group) or "",
        (soil and soil.source) or "",
        (taken and taken.place) or "",
        (received and received.on) or None,
    )
