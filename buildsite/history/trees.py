"""Files of any commit outside records/, by their blobs."""

from pathlib import Path

from buildsite.history.run import LINK, git


def blobs_of(root: Path, commit: str, *paths: str) -> dict[str, str]:
    """
    Return the blobs of some files and folders at a commit, by path in the repository.

    Links are left out: their bytes are an address.
    """
    rows = git(root, "ls-tree", "-r", "-z", "--full-tree", commit, "--", *paths)
    found: dict[str, str] = {}
    for row in rows.decode(errors="surrogateescape").split("\0"):
        about, _, name = row.partition("\t")
        words = about.split()
        if name and words[1] == "blob" and words[0] != LINK:
            found[name] = words[2]
    return found


def changes_of(root: Path, commit: str, path: str) -> list[str]:
    """Return the commits along first parents that changed a path, the latest first."""
    words = ("rev-list", "--first-parent", commit, "--")
    return git(root, *words, f":(top,literal){path}").decode().split()


def place_in_repository(root: Path) -> str:
    """Return the path of a folder in its repository: blank, or ending in a slash."""
    return git(root, "rev-parse", "--show-prefix").decode().rstrip("\n")
