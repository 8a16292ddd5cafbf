"""Records and archives written in a test, read as a laboratory's are."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from buildsite.archive.archive import Archive, compute_standalone
from buildsite.archive.entries import Shared
from buildsite.kinds import all_kinds
from buildsite.kinds.kind import Kind
from buildsite.kinds.outcome import Outcome
from buildsite.kinds.tests.moisture_density.compute import Values

POUND_PER_CUBIC_FOOT = 16.01846337
"""1 lb/ft³ in kg/m³: NIST Special Publication 811 (2008), appendix B.8, 1.601846 E+01,
with the digits that 0.45359237 / 0.3048³ has (both exact by definition)."""

LAB = """\
kind: laboratory
name: Laboratory
place: Place
staff:
  T07: {may: [test], from: 2020-01-01}
  E02: {may: [test, review, authorize], from: 2020-01-01}
"""

PROJECT = """\
kind: project
id: p
name: Project
customer: {name: Customer}
"""

SAMPLE = """\
kind: sample
id: S-1
project: p
"""

TEST = """\
kind: moisture-density
id: T-1
project: p
sample: S-1
status: complete
"""
"""The lines that every test needs and no computation looks at."""

STANDARD = "standard: {designation: ASTM D698, method: A}\n"
UNITS = "units: {}\n"
COMPACTED = "compacted: {on: 2026-03-10, by: T07}\n"

BASE = {
    "records/lab.yaml": LAB,
    "records/p/project.yaml": PROJECT,
    "records/p/samples/S-1.yaml": SAMPLE,
}
FILE = "records/p/tests/T-1.yaml"


def text_of(rest: str) -> str:
    """A test, with a standard, a day and no units unless they are in the rest."""
    text = TEST + rest
    for line in (STANDARD, COMPACTED, UNITS):
        if f"\n{line.partition(':')[0]}:" not in text:
            text += line
    return text


def made(text: str) -> Outcome:
    """A record computed by itself."""
    outcome, flags = compute_standalone(text.encode(), "T-1.yaml")
    assert outcome is not None, "\n".join(map(str, flags))
    return outcome


def values(rest: str) -> Values:
    """What is computed of a test by itself."""
    found: Values = made(text_of(rest)).case.values
    return found


@cache
def base() -> Shared:
    """The records of `BASE` as read once: thousands of archives have them."""
    read = Shared()
    for name, text in BASE.items():
        read.entry(name, text.encode())
    return read


def archive(files: Mapping[str, str]) -> Archive:
    """The least archive there is, with these files in it or in place of its own."""
    data = {name: text.encode() for name, text in {**BASE, **files}.items()}
    shared = Shared()
    for name, held in base().entries.items():
        if name not in files:
            shared.entries[name] = dict(held)
    return Archive(sorted(data), data.__getitem__, shared=shared)


def in_archive(rest: str, files: Mapping[str, str] | None = None) -> Outcome:
    """A test computed with what its archive says."""
    found = archive({FILE: text_of(rest), **(files or {})})
    outcome = found.outcome(FILE)
    assert outcome is not None, "\n".join(map(str, found.flags(FILE)))
    return outcome


def kind(name: str) -> Kind[Any, Any]:
    """One of the kinds there are."""
    return next(each for each in all_kinds() if each.name == name)
