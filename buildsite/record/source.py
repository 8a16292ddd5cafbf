"""
A file as read: its tree of text scalars, and line and column of every field.

Only the plain part of YAML is accepted, and every scalar stays the text that was
written: ``no``, ``1:30``, ``010`` and ``13.10`` are typed by the model, not by YAML.
The tree is composed from a parser's events: libyaml's, if PyYAML has it; Python's own
parser gives the same events, more slowly.
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


FASTEST = fastest_parser()


@dataclass(frozen=True)
class Source:
    """
    One file, read.

    `file` is its path in the archive, with slashes; `tree` is what could be read;
    `whole`: it is all of the file; `blanks`: a value was left blank.
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
        """The file as text; bytes that are not UTF-8 become U+FFFD."""
        return self.data.decode("utf-8", errors="replace")

    def place(self, field: Field) -> Place:
        """Return line and column of a value, or of its nearest parent."""
        place: Place = (1, 1)
        spots: Spots | None = self.spots
        for part in field:
            if not spots or part not in spots:
                break
            _, _, line, column, spots = spots[part]
            place = (line, column)
        return place

    def key_place(self, field: Field) -> Place:
        """Return line and column of a field's name, or of a list's entry."""
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
    file: str, data: bytes, parser: Callable[[str], Any] = FASTEST
) -> Source:
    """Return one file as read, with its faults as flags."""
    faults = Faults(file)
    composer = Composer(faults, data)
    whole = False
    tree: Tree = {}
    spots: Spots = {}
    with suppress(StopReading):  # its fault is recorded
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
