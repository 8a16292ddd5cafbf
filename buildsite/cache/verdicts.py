"""
Verdicts of `check`: what was told and the exit status, while all it saw is as it was.

Asked before the program itself is loaded. What a verdict saw is noted where it is read,
not declared: each file by its state, by the one who reads it; all names below the
records, for whatever was looked up among them; every file of the program. A check of
every record also saw git's history: what is checked out, and every branch. A verdict is
kept only if nothing of all this was changed since a tick of the clock before it began.

A verdict that holds is made again now and then, drawn by lot. Should it come out
otherwise, something was relied on and not noted: all are thrown away, and the command
fails.
"""

import codecs
import os
import sys
import zlib

from buildsite.cache import looks

TYPE_CHECKING = False
if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Callable, Iterator, Sequence

FORMAT = b"2"
"""Of the tables below; another one is not read."""

TABLES = """
DROP TABLE IF EXISTS about;
DROP TABLE IF EXISTS verdicts;
CREATE TABLE about (name TEXT PRIMARY KEY, said BLOB NOT NULL);
CREATE TABLE verdicts (
    number INTEGER PRIMARY KEY, asked TEXT NOT NULL UNIQUE, files BLOB NOT NULL,
    states BLOB NOT NULL, out BLOB NOT NULL, err TEXT NOT NULL,
    status INTEGER NOT NULL);
"""
MOST = 1000
"""Verdicts kept of one archive, the newest."""

ONE_IN = 32
"""Of so many verdicts that hold, one is made again."""

STYLES = ("text", "json", "github")

BEGAN_NS: list[int] = []
"""When this process began, before the program was loaded, by the clock of the files."""

Told = tuple[str, str, int]
"""What a check tells on standard output and on standard error, and its exit status."""


def asked_of(paths: "Sequence[str]", style: str, *, strict: bool) -> str:
    """Return the key of a verdict."""
    places = [os.path.realpath(path) for path in paths]
    return "\n".join([style, "strict" if strict else "", *places])


def words_of(words: "Sequence[str]") -> tuple[list[str], str, bool] | None:
    """
    Return paths, style, and whether it is strict, of a `check`; None for any other.

    >>> words_of(["check", "records/lab.yaml", "--strict"])
    (['records/lab.yaml'], 'text', True)
    >>> words_of(["check", "--format", "json"]), words_of(["check", "--due", "3m"])
    (([], 'json', False), None)
    """
    paths, style, strict, rest = list[str](), "text", False, list(words)
    if not rest or rest.pop(0) != "check":
        return None
    while rest:
        word = rest.pop(0)
        if word == "--strict":
            strict = True
        elif word == "--format" and rest and rest[0] in STYLES:
            style = rest.pop(0)
        elif word.startswith("-"):
            return None
        else:
            paths.append(word)
    return paths, style, strict


def drawn() -> bool:
    """Whether a verdict that holds is to be made again."""
    return os.urandom(1)[0] % ONE_IN == 0


def told(words: "Sequence[str]", here: str) -> Told | None:
    """Return what a check would tell, if that is certain; else None."""
    found = words_of(words)
    if found is None:
        return None
    paths, style, strict = found
    if not all(os.access(path, os.R_OK) for path in paths):
        return None
    start = os.path.realpath(paths[0]) if paths else here
    root = looks.root_above(start if os.path.isdir(start) else os.path.dirname(start))
    place = store_of(root)
    kept = asked_and_held(place, root, asked_of(paths, style, strict=strict))
    if kept is None:
        note_begin(place)
    return kept


def note_begin(place: str) -> None:
    """Note when this process began, so that what it finds can be kept."""
    BEGAN_NS.clear()
    try:
        if place:
            os.makedirs(os.path.dirname(place), exist_ok=True)
            with open(place, "ab"):
                os.utime(place)
            BEGAN_NS.append(os.stat(place).st_mtime_ns)
    except OSError:
        return  # a folder not to be written: nothing is kept


def asked_and_held(place: str, root: str, asked: str) -> Told | None:
    """Return a verdict that is kept and holds."""
    if not place or not os.path.exists(place):
        return None
    import sqlite3

    try:
        base = sqlite3.connect(place)
        try:
            return held(base, root, asked)
        finally:
            base.close()
    except (sqlite3.Error, OSError, ValueError, KeyError):
        return None


def store_of(root: str) -> str:
    """Return the file in which the verdicts of an archive are; blank without git."""
    git = looks.git_above(root) if root else ""
    return os.path.join(git, "buildsite", "check.sqlite") if git else ""


def held(base: "sqlite3.Connection", root: str, asked: str) -> Told | None:
    """Return a verdict that is kept, if it holds and is not to be made again."""
    row = base.execute(
        "SELECT files, states, out, err, status FROM verdicts WHERE asked = ?", (asked,)
    ).fetchone()
    if row is None or drawn():
        return None
    names, states, *rest = row
    if states != seen(root, names).text or not is_of(base, about(root)[0]):
        return None
    packed, err, status = rest
    out = "".join(unpacked(packed))
    out.encode(sys.stdout.encoding or "ascii")  # or the program itself says why not
    return out, err, status


def seen(root: str, names: bytes) -> looks.Look:
    """Look at what a verdict saw; a blank name stands for git's history."""
    every = os.fsdecode(names).split("\0")
    look = looks.files(root, [name for name in every if name])
    if "" in every:
        past = looks.history(looks.git_above(root))
        look.lines += past.lines
        look.newest_ns = max(look.newest_ns, past.newest_ns)
    return look


def about(root: str) -> tuple[dict[str, bytes], int]:
    """Return what every verdict on an archive saw, and when it was last changed."""
    program, names = looks.program(), looks.listing(root)
    found = {"format": FORMAT, "program": program.text, "listing": names.text}
    return found, max(program.newest_ns, names.newest_ns)


def is_of(base: "sqlite3.Connection", about: dict[str, bytes]) -> bool:
    """Whether the verdicts are of this program and of these names."""
    return dict(base.execute("SELECT name, said FROM about")) == about


class Packed:
    """
    Text that is packed as it comes.

    >>> packed = Packed()
    >>> packed.add("two"), packed.add(" words")
    (None, None)
    >>> "".join(unpacked(packed.end()))
    'two words'
    """

    def __init__(self) -> None:
        self._packing = zlib.compressobj(1)
        self._done: list[bytes] = []

    def add(self, text: str) -> None:
        """Add some text."""
        self._done.append(self._packing.compress(text.encode("utf-8", SURROGATES)))

    def end(self) -> bytes:
        """Return all of it, packed."""
        return b"".join((*self._done, self._packing.flush()))


def unpacked(data: bytes) -> "Iterator[str]":
    """Yield a text that was packed, a piece at a time."""
    unpacking, decoding = zlib.decompressobj(), codecs.getincrementaldecoder("utf-8")
    decoder = decoding(SURROGATES)
    while data:
        piece = unpacking.decompress(data, PIECE)
        data = unpacking.unconsumed_tail
        yield decoder.decode(piece)
    yield decoder.decode(unpacking.flush(), final=True)


SURROGATES = "surrogatepass"
"""The name of a file may hold half a character."""

PIECE = 1 << 16


class Watch:
    """What a check reads while it goes on, and the verdict that is kept in the end."""

    def __init__(self, root: str, asked: str, *, history: bool) -> None:
        self._root = root
        self._asked = asked
        self._place = store_of(root)
        self._names = {""} if history else set[str]()

    def reading(self, read: "Callable[[str], bytes]") -> "Callable[[str], bytes]":
        """Return a reader that notes each file."""

        def noted(name: str) -> bytes:
            self._names.add(name)
            return read(name)

        return noted

    def keep(self, out: bytes, err: str, status: int) -> bool:
        """
        Keep a verdict; False if one that holds is another, and all are gone now.

        `out` is packed: of a large archive it is long.
        """
        if not self._place or not BEGAN_NS:
            return True
        import sqlite3

        files = os.fsencode("\0".join(sorted(self._names)))
        try:
            now, newest_ns = about(self._root)
            look = seen(self._root, files)
            if max(newest_ns, look.newest_ns) + looks.TICK_NS >= BEGAN_NS[0]:
                return True  # something was changed just before, or while it went on
            base = sqlite3.connect(self._place, isolation_level=None, timeout=1)
            try:
                same = self._save(base, now, (files, look.text, out, err, status))
            finally:
                base.close()
        except (sqlite3.OperationalError, OSError, ValueError):
            return True  # another check writes, or the disk is full
        except sqlite3.Error:
            same, self._place = True, forget(self._place)
        if not same:
            forget(self._place)
        return same

    def _save(
        self,
        base: "sqlite3.Connection",
        about: dict[str, bytes],
        row: tuple[object, ...],
    ) -> bool:
        """Write a verdict; False if another one holds."""
        base.execute("BEGIN IMMEDIATE")
        tables = "SELECT count(*) FROM sqlite_master WHERE type = 'table'"
        there = base.execute(tables).fetchone()[0] == TABLES.count("CREATE")
        if not there or not is_of(base, about):
            for one in TABLES.split(";"):
                base.execute(one)
            base.executemany("INSERT INTO about VALUES (?, ?)", about.items())
        old = base.execute(
            "SELECT files, states, out, err, status FROM verdicts WHERE asked = ?",
            (self._asked,),
        ).fetchone()
        if old is not None and old[:2] == row[:2] and old != row:
            return False
        base.execute(
            "INSERT OR REPLACE INTO verdicts (asked, files, states, out, err, status)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            (self._asked, *row),
        )
        base.execute(
            "DELETE FROM verdicts"
            " WHERE number <= (SELECT max(number) FROM verdicts) - ?",
            (MOST,),
        )
        base.execute("COMMIT")
        return True


def forget(place: str) -> str:
    """Throw every verdict away; return blank, for no place."""
    for suffix in ("", "-journal", "-wal", "-shm"):
        with_suffix = place + suffix
        if os.path.exists(with_suffix):
            os.unlink(with_suffix)
    return ""
