"""
Whether anything at all has changed since the last build of a site.

Asked before the program itself is loaded, so that a build of nothing takes little more
than one look at each file; nothing is imported here that takes longer than that. The
build before kept what it told, and the state of all that it could see, in a file
beside its store. Folders are among it: a file that came or went changes the folder.
"""

import os
import sys
from array import array
from zlib import crc32

from buildsite.cache import looks
from buildsite.cache.places import name_of

FORMAT = "1"
SUFFIX = ".seen"
PARTS = b"\0\0"


def about(root: str, site: str) -> str:
    """Return what must be the same before any file is looked at."""
    packages = [place for place in sys.path if place.endswith("-packages")]
    return "\0".join((FORMAT, sys.version, looks.PACKAGE, root, site, *packages))


def numbers(paths: list[str]) -> bytes:
    """
    Return the states of files and folders as they are now.

    Raises OSError if one is not there, OverflowError if a number is too large.
    """
    found: list[int] = []
    for one in map(os.lstat, paths):
        found += (one.st_size, one.st_mtime_ns, one.st_ctime_ns, one.st_ino)
    return array("q", found).tobytes()


def written(
    about: str, told: list[str], absent: list[str], paths: list[str], states: bytes
) -> bytes:
    """
    Return what a build keeps; `told` are its lines and the address of the site.

    >>> kept = written("x", ["1 test", "file:///s"], [], ["/a"], b"12345678")
    >>> read(kept)
    ('x', ['1 test', 'file:///s'], [], ['/a'], b'12345678')
    >>> read(kept[:-1]) is None
    True
    """
    texts = (about, *("\0".join(some) for some in (told, absent, paths)))
    data = PARTS.join((*map(os.fsencode, texts), states))
    return crc32(data).to_bytes(4, "big") + data


def read(data: bytes) -> tuple[str, list[str], list[str], list[str], bytes] | None:
    """Return what was written; None if it is not whole."""
    if int.from_bytes(data[:4], "big") != crc32(data[4:]):
        return None
    *texts, states = data[4:].split(PARTS, 4)
    about, told, absent, paths = map(os.fsdecode, texts)
    return about, told.split("\0"), split(absent), split(paths), states


def split(text: str) -> list[str]:
    """Return the paths in a text; a blank one has none."""
    return text.split("\0") if text else []


def unchanged(words: list[str], here: str) -> tuple[list[str], str] | None:
    """
    Return the lines that the last build told, and its first page, if this is the same.

    None if that is not certain: other options, no such build, or a change.
    """
    named = folders_named(words)
    if named is None:
        return None
    root = looks.root_above(os.path.abspath(os.path.join(here, named[0])))
    git = looks.git_above(root) if root else ""
    if not git:
        return None
    site = os.path.realpath(os.path.join(here, named[1] or os.path.join(root, "site")))
    folder, name = os.path.split(site)
    if os.path.lexists(os.path.join(folder, f".{name}.beside")):
        return None  # a build that was killed, and is to be completed
    try:
        name = f"{name_of(site)}{SUFFIX}"
        with open(os.path.join(git, "buildsite", name), "rb") as file:
            kept = read(file.read())
        if kept is None or kept[0] != about(root, site):
            return None
        _, (*lines, page), absent, paths, states = kept
        if any(map(os.path.lexists, absent)) or numbers(paths) != states:
            return None
    except (OSError, OverflowError, ValueError):
        return None
    return lines, page


def folders_named(words: list[str]) -> tuple[str, str] | None:
    """
    Return archive and site that a plain `build` names, blank for none; else None.

    >>> folders_named(["build"]), folders_named(["build", "--out", "x", "--jobs", "2"])
    (('', ''), ('', 'x'))
    >>> folders_named(["build", "--release"]), folders_named(["build", "--jobs", "x"])
    (None, None)
    """
    rest, found = list(words[1:]), {"--root": "", "--out": ""}
    if words[:1] != ["build"]:
        return None
    while rest:
        name, value = rest[0], rest[1] if len(rest) > 1 else ""
        if name in found and value.strip() and not value.startswith("-"):
            found[name] = value
        elif not (name == "--jobs" and value.isdecimal() and int(value)):
            return None
        del rest[:2]
    return found["--root"], found["--out"]
