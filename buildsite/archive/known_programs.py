"""Programs whose fingerprints are known: those that issued the demo, and releases."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from buildsite.record.source import read_source
from buildsite.values import dataclass

FILE = Path(__file__).with_name("known_programs.yaml")


@dataclass(frozen=True)
class KnownProgram:
    """One program: its version, and what it is."""

    fingerprint: str
    version: str
    what: str


@cache
def known_programs() -> Mapping[str, KnownProgram]:
    """Return the known programs, by fingerprint."""
    rows = read_source(FILE.name, FILE.read_bytes()).tree["programs"]
    return {row["fingerprint"]: KnownProgram(**row) for row in rows}
