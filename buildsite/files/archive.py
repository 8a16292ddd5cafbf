"""Find the archive and read what is in it."""

import os
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import field
from pathlib import Path

from buildsite.errors import EnvironmentFault
from buildsite.record.faults import Faults
from buildsite.record.flags import Flag
from buildsite.record.letters import ID, LARGEST
from buildsite.record.messages import quoted
from buildsite.record.places import LAB, SUFFIX
from buildsite.values import dataclass

# Without these two, a pipe named like a record would block the reader, and a link put
# there after the folder was listed would be followed.
_OPEN = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)


_OTHERS = (".git", ".schema")
"""Hidden folders that are git's or this program's own."""


@dataclass(frozen=True)
class Listing:
    """
    Files under records/: paths with slashes, from the archive's folder, sorted.

    `names` are the records; `issued` the issued files; `kept` the kept reports and
    results.
    """

    root: Path
    names: tuple[str, ...]
    issued: tuple[str, ...]
    kept: tuple[str, ...]
    flags: tuple[Flag, ...]

    def read(self, name: str) -> bytes:
        """Return the bytes of one file; of a record, at most one more than allowed."""
        try:
            return self._read(name)
        except OSError as error:
            raise unreadable(self.root / name, error) from error

    def read_all(self, names: tuple[str, ...], flags: list[Flag]) -> dict[str, bytes]:
        """Return the bytes of many files, and flag unreadable ones."""
        found = {}
        for name in names:
            try:
                found[name] = self._read(name)
            except OSError as error:
                flags.append(_flag("unreadable-file", name, error.strerror or ""))
        return found

    def _read(self, name: str) -> bytes:
        with os.fdopen(os.open(self.root / name, _OPEN), "rb") as file:
            return file.read(LARGEST + 1 if name.endswith(".yaml") else -1)


class Texts(Mapping[str, bytes]):
    """Files by name: their bytes as read, or read once when somebody asks."""

    def __init__(self, listing: Listing, names: Iterable[str]) -> None:
        self._listing = listing
        self._names = dict.fromkeys(names)
        self._read: dict[str, bytes] = {}

    def read_now(self, known: Container[str], flags: list[Flag]) -> None:
        """Read all but those `known`; flag unreadable ones, which are not there."""
        names = tuple(name for name in self._names if name not in known)
        self._read |= self._listing.read_all(names, flags)
        for name in names:
            if name not in self._read:
                del self._names[name]

    def __getitem__(self, name: str) -> bytes:
        """Return the bytes of a file."""
        if name not in self._read:
            if name not in self._names:
                raise KeyError(name)
            self._read[name] = self._listing.read(name)
        return self._read[name]

    def __contains__(self, name: object) -> bool:
        """Whether a file is there."""
        return name in self._names

    def __iter__(self) -> Iterator[str]:
        """Go through the names."""
        return iter(self._names)

    def __len__(self) -> int:
        """Count them."""
        return len(self._names)


@dataclass(frozen=True)
class ArchiveFiles:
    """Every record and issued file with its bytes, sorted by path."""

    records: Mapping[str, bytes]
    issued: Mapping[str, bytes]
    kept: tuple[str, ...]
    flags: tuple[Flag, ...]

    def text(self, name: str) -> bytes:
        """Return the bytes of a record or an issued file."""
        return self.records[name] if name in self.records else self.issued[name]


@dataclass
class _Found:
    """Files found so far."""

    names: list[str] = field(default_factory=list)
    issued: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    flags: list[Flag] = field(default_factory=list)


def _flag(name: str, file: str, found: str) -> Flag:
    """Flag a file as a whole."""
    faults = Faults(file)
    faults.add(name, (1, 1), found)
    return faults.flags[0]


def unreadable(path: Path, error: OSError) -> EnvironmentFault:
    """Return the fault of an unreadable file or folder."""
    return EnvironmentFault(
        f"Can't read {path}: {error.strerror or error}.",
        "Check the permissions of the archive's folders and files.",
    )


def find_root(start: Path) -> Path:
    """Return the archive's folder: the nearest one upwards with records/lab.yaml."""
    here = start.absolute()
    for folder in (here, *here.parents):
        if (folder / LAB).is_file():
            return folder
    raise EnvironmentFault(
        f"No archive here: neither {here} nor a folder above it has {LAB}.",
        "Go to the archive's folder, name it with `--root DIR`, or start a new "
        "archive: `buildsite init DIR`.",
    )


def list_archive(root: Path) -> Listing:
    """
    List the files under records/, and flag those that may not be there.

    Links are never followed. Names that begin with a dot are skipped; a record in such
    a folder is flagged.
    """
    found = _Found()
    try:
        _walk(root, "records", found)
    except OSError as error:
        raise unreadable(Path(error.filename or root), error) from error
    return Listing(
        root,
        tuple(sorted(found.names)),
        tuple(sorted(found.issued)),
        tuple(sorted(found.kept)),
        tuple(sorted(found.flags, key=lambda flag: flag.order)),
    )


def read_archive(root: Path, known: Container[str] = ()) -> ArchiveFiles:
    """
    Read every record and every list of revisions; those `known` when they are asked.

    Raises
    ------
    EnvironmentFault
        If a folder cannot be read; a file that cannot is a flag.
    """
    listing = list_archive(root)
    flags = list(listing.flags)
    records, issued = Texts(listing, listing.names), Texts(listing, listing.issued)
    for texts in (records, issued):
        texts.read_now(known, flags)
    flags.sort(key=lambda flag: flag.order)
    return ArchiveFiles(records, issued, listing.kept, tuple(flags))


def _walk(root: Path, folder: str, found: _Found) -> None:
    """Sort what one folder holds; `folder` is its path from the root."""
    if (root / folder).is_symlink():
        found.flags.append(_flag("symbolic-link", folder, "a symbolic link"))
        return
    with os.scandir(root / folder) as entries:
        every = list(entries)
    inside = [entry for entry in every if not entry.name.startswith(".")]
    for entry in every:
        if entry.name.startswith(".") and entry.is_dir(follow_symlinks=False):
            _hidden(entry, f"{folder}/{entry.name}", found)
    folders: dict[str, str] = {}
    for entry in sorted(inside, key=lambda entry: entry.name):
        path = f"{folder}/{entry.name}"
        stranger = _stranger(entry, path)
        if stranger is not None:
            found.flags.append(stranger)
        elif entry.is_dir():
            twin = folders.setdefault(entry.name.casefold(), entry.name)
            if twin != entry.name:
                found.flags.append(_flag("same-name", path, f"{path} beside {twin}"))
            _walk(root, path, found)
        else:
            _sort(path, entry.name, found)


def _hidden(folder: os.DirEntry[str], path: str, found: _Found) -> None:
    """Flag the records in a hidden folder: nobody reads them there."""
    if folder.name in _OTHERS:
        return
    for place, _, names in os.walk(folder.path):
        below = os.path.relpath(place, folder.path)
        for name in names:
            id = name.removesuffix(SUFFIX).removesuffix(".yaml")
            if id != name and ID.fullmatch(id):
                file = os.path.normpath(f"{path}/{below}/{name}").replace(os.sep, "/")
                found.flags.append(_flag("hidden-record", _printed(file), name))


def _stranger(entry: os.DirEntry[str], path: str) -> Flag | None:
    """Flag what can be neither a file of ours nor a folder."""
    if not entry.name.isprintable():  # a control, or a byte that is no UTF-8
        return _flag("bad-file-name", _printed(path), _printed(entry.name))
    if entry.is_symlink():
        return _flag("symbolic-link", path, "a symbolic link")
    if entry.is_file() or entry.is_dir():
        return None
    return _flag("unreadable-file", path, "a pipe, a socket or a device")


def _sort(path: str, name: str, found: _Found) -> None:
    """Put one file where it belongs by its name; others than records are let be."""
    stem, dot, suffix = name.rpartition(".")
    if suffix != "yaml" and suffix.lower() in ("yml", "yaml"):
        found.flags.append(_flag("wrong-suffix", path, f"{dot}{suffix}"))
    elif suffix == "yaml":
        issued = name.endswith(SUFFIX)
        id = name.removesuffix(SUFFIX) if issued else stem
        if ID.fullmatch(id):
            (found.issued if issued else found.names).append(path)
        else:
            found.flags.append(_flag("bad-file-name", path, quoted(id)))
    elif suffix in ("html", "json", "pdf") and _is_revision(stem):
        found.kept.append(path)


def _is_revision(stem: str) -> bool:
    id, _, revision = stem.rpartition(".")
    digits = revision.removeprefix("r")
    return digits != revision and digits.isdecimal() and bool(ID.fullmatch(id))


def _printed(name: str) -> str:
    r"""
    Spell a name that cannot be printed.

    >>> _printed("HF\n1.yaml"), _printed("HF-\udce9.yaml")
    ('HF\\n1.yaml', 'HF-\\xe9.yaml')
    """
    text = os.fsencode(name).decode("utf-8", "backslashreplace")
    return "".join(sign if sign.isprintable() else repr(sign)[1:-1] for sign in text)
