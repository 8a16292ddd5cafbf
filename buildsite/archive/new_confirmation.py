"""A cell of a standard confirmed with the laboratory's own copy: added to lab.yaml."""

from collections.abc import Iterator, Mapping

from buildsite.archive.archive import Archive
from buildsite.archive.new_calibration import one_line
from buildsite.kinds.laboratory.confirmed_cells import Shown, unchecked_cells
from buildsite.record.set_reading import set_reading
from buildsite.record.source import Source, read_source

LIST = "confirmed"
ORDER = ("standard", "method", "cell", "value", "edition", "clause", "on", "by")


def with_confirmation(source: Source, said: Mapping[str, str]) -> bytes:
    """Return the text of lab.yaml with a cell confirmed; every other byte stays."""
    data = source.data
    if LIST not in source.tree:
        data += (b"" if data.endswith(b"\n") else b"\n") + f"{LIST}:\n".encode()
    there = source.tree.get(LIST)
    count = len(there) if isinstance(there, list) else 0
    item = {name: said[name] for name in ORDER if said.get(name)}
    return set_reading(read_source(source.file, data), (LIST, count), one_line(item))


def still_unchecked(archive: Archive, designation: str) -> Iterator[Shown]:
    """Yield the cells of a standard that nobody confirmed: name, value, source."""
    yield from unchecked_cells(archive.laboratory, designation)
