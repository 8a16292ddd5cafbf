"""What a talk asks of the world: to say, to ask, to save, to commit."""

from collections.abc import Generator
from typing import Any, TypeAlias

from buildsite.values import dataclass


@dataclass(frozen=True)
class Say:
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Ask:
    prompt: str
    option: str = ""  # answered by the option of that name, where it was given


@dataclass(frozen=True)
class Save:
    data: bytes


@dataclass(frozen=True)
class Commit:
    """One commit of the record alone; the answer is whether it was made."""

    data: bytes
    subject: str
    by: str
    reason: str


Effect: TypeAlias = Say | Ask | Save | Commit
Talking: TypeAlias = Generator[Effect, Any, Any]
