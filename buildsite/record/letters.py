"""
Text of a file, decoded and safe to parse as YAML; the pattern of an id.

A refused character is replaced by one of the same width, so that reading goes on and
finds the other faults of the file at their true lines and columns.
"""

import re

from buildsite.record.faults import Faults, Place, StopReading
from buildsite.record.unseen import HIDDEN

LARGEST = 1024 * 1024  # bytes

ID = re.compile(
    r"(?!.*\.([Ii][Ss][Ss][Uu][Ee][Dd]|[Rr][0-9]+)$)[A-Za-z0-9][A-Za-z0-9._-]{0,63}"
)
"""A record's id: letters, digits, ``.``, ``-``, ``_``, at most 64, a letter or digit
first; not ending in ``.issued`` or ``.r0``, like the files kept beside a record."""

# Deleting these from a sound record leaves nothing; only what is left is checked.
_USUAL = bytes(range(0x20, 0x7F)) + b"\n"

_CONFLICT = re.compile(r"^(<{7}|\|{7}|={7}|>{7})(?= |$)", re.MULTILINE)
_DIRECTIVE = re.compile(r"^%\S*", re.MULTILINE)


def place_of(text: str, index: int) -> Place:
    r"""
    Return line and column of a character, both from 1.

    >>> place_of("a: 1\nb: 2\n", 8)
    (2, 4)
    """
    return text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index)


def read_text(data: bytes, faults: Faults) -> str:
    """Return the text of a file, and record the faults of its characters."""
    if len(data) > LARGEST:
        faults.add("too-large", (1, 1), "more than 1 MiB")
        raise StopReading
    text = _decoded(data, faults)
    if data.translate(None, _USUAL):
        text = _without_hidden(text, faults)
    if _may_have_conflict(data):
        _refuse_conflict(text, faults)
    if data.startswith(b"%") or b"\n%" in data:
        text = _without_directives(text, faults)
    return text


def _decoded(data: bytes, faults: Faults) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        wrong = data[error.start]
        faults.add(
            "not-utf-8", place_of(before, len(before)), f"the byte 0x{wrong:02X}"
        )
        if b"\0" in data:  # UTF-16, or no text at all
            raise StopReading from error
        return data.decode("utf-8", errors="replace")


def _without_hidden(text: str, faults: Faults) -> str:
    if text.startswith("\ufeff"):
        faults.add("byte-order-mark", (1, 1), "a byte order mark, U+FEFF")
        text = text[1:]
    if "\r" in text:
        _count(text, "\r", "carriage-return", faults)
        text = text.replace("\r\n", "\n").replace("\r", " ")
    if "\t" in text:
        _count(text, "\t", "tab", faults)
        text = text.replace("\t", " ")
    for hidden in HIDDEN.finditer(text):
        faults.add(
            "control-character",
            place_of(text, hidden.start()),
            f"the character U+{ord(hidden[0]):04X}",
        )
    return HIDDEN.sub(" ", text)


def _count(text: str, character: str, flag: str, faults: Faults) -> None:
    """Flag the first of a kind, with their number: an editor replaces them all."""
    several = text.count(character)
    found = f"U+{ord(character):04X}" + (f", {several} times" if several > 1 else "")
    faults.add(flag, place_of(text, text.index(character)), found)


def _may_have_conflict(data: bytes) -> bool:
    return b"<<<<<<<" in data or b"=======" in data or b">>>>>>>" in data


def _refuse_conflict(text: str, faults: Faults) -> None:
    marks = list(_CONFLICT.finditer(text))
    for mark in marks:
        faults.add("merge-conflict", place_of(text, mark.start()), repr(mark[0]))
    if marks:  # two versions of one line would raise faults that neither has
        raise StopReading


def _without_directives(text: str, faults: Faults) -> str:
    for directive in _DIRECTIVE.finditer(text):
        faults.add("directive", place_of(text, directive.start()), directive[0])
    return _DIRECTIVE.sub(lambda found: "#" + found[0][1:], text)
