"""Canonical bytes of a value, and their digest."""

import json
from hashlib import sha256
from typing import Any


def canonical(value: Any) -> bytes:
    """
    Return plain data as canonical JSON: UTF-8, keys sorted, no white space.

    >>> canonical({"b": ["13.10", None], "a": "é"}).decode()
    '{"a":"é","b":["13.10",null]}'
    """
    return text_of(value).encode()


def text_of(value: Any) -> str:
    """Return plain data as the text of canonical JSON."""
    return json.dumps(
        value,
        ensure_ascii=False,
        sort_keys=True,
        separators=(",", ":"),
        allow_nan=False,
    )


def digest(data: bytes) -> str:
    """
    Return the SHA-256, with its prefix.

    >>> digest(b"")[:20]
    'sha256:e3b0c44298fc1'
    """
    return "sha256:" + sha256(data).hexdigest()
