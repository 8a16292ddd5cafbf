"""
Bytes of a file → tree of text scalars; line and column of every field.

A record must mean the same to everyone who reads it, so only the plain part of YAML
is taken, and every scalar stays the text that was written: ``no``, ``1:30``, ``010``
and ``13.10`` are typed by the model, not by YAML. The tree is composed from the
parser's events, which libyaml delivers where PyYAML was built with it; the parser
written in Python delivers the same ones, only slower.
"""

from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from typing import Any

from yaml.error import MarkedYAMLError
from yaml.parser import Parser
from yaml.reader import Reader
from yaml.scanner import Scanner

from buildsite.record.compose import Composer, Spots, Tree, refuse_syntax
from buildsite.record.faults import Faults, Place, StopReading
from buildsite.record.flags import Field, Flag
from buildsite.record.letters import read_text
from buildsite.values import dataclass


class PythonParser(Reader, Scanner, Parser):
    """PyYAML's own parser, for a machine without libyaml."""

    def __init__(self, text: str) -> None:
        Reader.__init__(self, text)
        Scanner.__init__(self)
        Parser.__init__(self)


def fastest_parser() -> Callable[[str], Any]:
    """Return libyaml's parser where there is one, else Python's."""
    try:
        from yaml.cyaml import CParser  # type: ignore[attr-defined]  # not in stubs
    except ImportError:
        return PythonParser
    parser: Callable[[str], Any] = CParser
    return parser


_FASTEST = fastest_parser()


@dataclass(frozen=True)
class Source:
    """
    One file, read.

    `file` is its path in the archive, with slashes; `tree` what could be read of it,
    and `whole` says whether that is all; `blanks`, whether a value was left blank.
    """

    file: str
    data: bytes
    sha256: str
    tree: Tree
    faults: tuple[Flag, ...]
    whole: bool
    blanks: bool
    spots: Spots

    @property
    def text(self) -> str:
        """The file as text; bytes that are not UTF-8 show as U+FFFD."""
        return self.data.decode("utf-8", errors="replace")

    def place(self, field: Field) -> Place:
        """Line and column of a value, or of the nearest part of the record above."""
        place: Place = (1, 1)
        spots: Spots | None = self.spots
        for part in field:
            if not spots or part not in spots:
                break
            _, _, line, column, spots = spots[part]
            place = (line, column)
        return place

    def key_place(self, field: Field) -> Place:
        """Line and column of a field's name; of the value itself for a list's entry."""
        spots: Spots | None = self.spots
        for part in field[:-1]:
            spots = spots[part][4] if spots and part in spots else None
        if not field or not spots or field[-1] not in spots:
            return self.place(field)
        return spots[field[-1]][:2]

    @property
    def places(self) -> dict[Field, Place]:
        """Line and column of every value, in the order of the file."""
        found: dict[Field, Place] = {}
        waiting: list[tuple[Field, Spots]] = [((), self.spots)]
        while waiting:
            above, spots = waiting.pop()
            for part, (_, _, line, column, below) in spots.items():
                found[*above, part] = (line, column)
                if below:
                    waiting.append(((*above, part), below))
        return dict(sorted(found.items(), key=lambda item: (item[1], len(item[0]))))


def read_source(
    file: str, data: bytes, parser: Callable[[str], Any] = _FASTEST
) -> Source:
    """
    Read one file, whatever it holds: what is wrong with it becomes flags.

    Parameters
    ----------
    file
        Path in the archive, with slashes, as flags show it.
    data
        The bytes that git stores.
    parser
        Where the events come from.
    """
    faults = Faults(file)
    composer = Composer(faults, data)
    whole = False
    tree: Tree = {}
    spots: Spots = {}
    with suppress(StopReading):  # its fault is written down
        text = read_text(data, faults)
        try:
            tree, spots = composer.compose(parser(text).get_event)
            whole = True
        except MarkedYAMLError as error:
            refuse_syntax(error, faults)
    digest = sha256(data).hexdigest()
    return Source(
        file, data, digest, tree, faults.sorted(), whole, composer.blanks, spots
    )
