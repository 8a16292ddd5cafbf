"""Names of git's objects: each is a digest of the object's own bytes."""

from hashlib import new

from buildsite.errors import EnvironmentFault

ALGORITHMS = {40: "sha1", 64: "sha256"}
"""Algorithm of a name, by its number of digits."""


def object_id(data: bytes, *, like: str, kind: str = "blob") -> str:
    """
    Return the name git gives to an object, in the algorithm of another name.

    >>> object_id(b"", like="0" * 40)
    'e69de29bb2d1d6434b8b29ae775ad8c2e48c5391'
    """
    digest = new(ALGORITHMS[len(like)], usedforsecurity=False)
    digest.update(b"%s %d\0" % (kind.encode(), len(data)))
    digest.update(data)
    return digest.hexdigest()


def proven_blob(name: str, data: bytes) -> bytes:
    """Return the bytes of a blob; refuse those that are not what its name states."""
    if object_id(data, like=name) != name:
        raise EnvironmentFault(
            f"Blob {name} was altered in this clone: its bytes are not those that its "
            "name states.",
            "Clone the archive again from a copy that nobody altered; `buildsite "
            "verify` names the file.",
        )
    return data
