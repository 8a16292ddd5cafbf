"""Small archives of records: a sound one, and what changes make of it."""

from collections.abc import Collection, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from buildsite.archive.across import flags_across, traces_of
from buildsite.archive.archive import Archive, compute_standalone
from buildsite.archive.drift import reported
from buildsite.archive.entries import Shared
from buildsite.exports.result_json import as_json, envelope
from buildsite.kinds.used_form import current_form
from buildsite.record.canonical import digest
from buildsite.record.flags import Flag
from buildsite.record.issued import appended, closed, issued_name, kept_name
from buildsite.record.places import SUFFIX
from buildsite.record.source import read_source

FAULTS = Path(__file__).parent / "faults"
ROOT = Path(__file__).parents[1]

Files = Mapping[str, bytes]
Changes = Mapping[str, str | list[list[str]] | None]
"""By file: pairs of text to find and text to put there, a whole text, or None."""


@cache
def sound(beside: tuple[str, ...] = ()) -> Files:
    """
    The archive that raises no flag: every fault is a change of this one.

    `beside` names folders of `tests/faults/with` whose records stand in it too, and
    what was issued of them.
    """
    files: Files = dict(folder(FAULTS / "base"))
    for name in beside:
        more = dict(folder(FAULTS / "with" / name))
        issues = yaml.safe_load(more.pop("issued.yaml", b"")) or ()
        files = {**files, **more}
        for one in issues:
            about = {key: value for key, value in one.items() if key != "test"}
            files = issued(files, one["test"], about)
    return files


def folder(base: Path) -> Files:
    """Every file below a folder, by its path in it."""
    return {
        path.relative_to(base).as_posix(): path.read_bytes()
        for path in sorted(base.rglob("*"))
        if path.is_file()
    }


ML_101_MAXIMUM = "108.1"
"""
Maximum dry density of ML-101 in `base/`, in lb/ft³, by hand with a pocket calculator.

Mold M-04 by water: 4052.5 - 3110.2 = 942.3 g. At 21.5 °C water has 0.99788 g/cm³ (the
table of water densities: 0.99800 at 21 °C, 0.99777 at 22 °C), so 944.3 cm³, which is
0.033347 ft³. The three highest points, wet soil in lb, densities in lb/ft³:

2: 8.49 - 4.41 = 4.08, wet 122.35; (158.03 - 141.01)/(141.01 - 30.98) = 15.469 %; 105.96
3: 8.64 - 4.41 = 4.23, wet 126.85; (166.39 - 146.46)/(146.46 - 31.77) = 17.377 %; 108.07
4: 8.66 - 4.41 = 4.25, wet 127.45; (159.43 - 138.43)/(138.43 - 30.25) = 19.412 %; 106.73

The parabola through them: slopes (108.07 - 105.96)/1.908 = 1.106 and
(106.73 - 108.07)/2.035 = -0.658, curvature (-0.658 - 1.106)/3.943 = -0.4475. Its peak
lies at (15.469 + 17.377 + 1.106/0.4475)/2 = 17.66 %, and is
105.96 + 1.106 · 2.19 - 0.4475 · 2.19 · 0.28 = 108.1.
"""

PROGRAM = "f" * 64
"""Fingerprint of the program that computes, and issues, in small archives."""


def archive_of(files: Files, shared: Shared | None = None) -> Archive:
    """An archive of these files, with what was issued of them."""
    records = sorted(name for name in files if name.endswith(".yaml"))
    return Archive(
        [name for name in records if not name.endswith(SUFFIX)],
        files.__getitem__,
        issued=[name for name in records if name.endswith(SUFFIX)],
        kept=sorted(
            name for name in files if name.endswith((".html", ".json", ".pdf"))
        ),
        program=lambda: PROGRAM,
        shared=shared or Shared(),
    )


REPORT = (
    '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n</head>\n'
    "<body>\n<p>{} r{}</p>\n</body>\n</html>\n"
)
"""What stands in for a kept report."""

PDF = b"%PDF-1.7\n"
"""What stands in for the PDF of one, where an item says `pdf: yes`."""


def issued(files: Files, test: str, about: Mapping[str, Any]) -> Files:
    """These files after a test was issued. `about` stands in for what an item says."""
    file = f"records/{test}.yaml"
    made = archive_of(files).outcome(file)
    assert made is not None
    before: list[Any] = []
    if issued_name(file) in files:
        source = read_source(issued_name(file), files[issued_name(file)])
        before = source.tree["revisions"]
    keeps = about.get("kind") != "assessment"
    if about.get("pdf"):
        about = {**about, "pdf": digest(PDF), "pdf_drawn_by": "nobody"}
    report = REPORT.format(made.id, len(before)).encode()
    stated = envelope(made, {"name": "buildsite", "version": "0"})
    result = as_json({**stated, "revision": len(before)})
    item: dict[str, Any] = {
        "revision": str(len(before)),
        "kind": "report",
        "issued_on": "2026-03-13",
        "authorized_by": "E02",
        "reason": f"Issue {len(before)}",
        "inputs": dict(made.inputs),
        "used": made.used,
        "used_form": str(current_form()),
        "results": reported(made) if keeps else {},
        "software": {"name": "buildsite", "version": "0", "fingerprint": PROGRAM},
        **({"result": digest(result), "report": digest(report)} if keeps else {}),
        **about,
    }
    item = closed(item, before[-1] if before else None)
    name = issued_name(file)
    done = {**files, name: appended(files.get(name), made.id, item)}
    if keeps:
        done[kept_name(file, len(before), "html")] = report
        done[kept_name(file, len(before), "json")] = result
    if "pdf" in about:
        done[kept_name(file, len(before), "pdf")] = PDF
    return done


def changed(
    changes: Changes,
    issues: Sequence[Mapping[str, Any]] = (),
    beside: Sequence[str] = (),
) -> Files:
    """
    The sound archive after some changes, each of which must find its text once.

    `issues` were issued of it before the changes: each names its `test`. `beside`: see
    `sound`.
    """
    files: dict[str, bytes] = dict(sound(tuple(beside)))
    for one in issues:
        about = {key: value for key, value in one.items() if key != "test"}
        files = dict(issued(files, one["test"], about))
    for name, change in changes.items():
        file = f"records/{name}"
        if change is None:
            del files[file]
        elif isinstance(change, str):
            files[file] = change.encode()
        else:
            text = files[file].decode()
            for was, now in change:
                assert text.count(was) == 1, f"{file}: {text.count(was)} times: {was}"
                text = text.replace(was, now)
            files[file] = text.encode()
    return files


def flags_of(files: Files, shared: Shared | None = None) -> list[Flag]:
    """Every flag of every record, by file and line."""
    archive = archive_of(files, shared)
    archive.across_flags = flags_across(
        archive, traces_of(archive, archive.files("test"))
    )
    found = [flag for name in archive.names for flag in archive.flags(name)]
    return sorted([*found, *archive.strays()], key=lambda flag: flag.order)


@cache
def _computed(beside: tuple[str, ...]) -> Shared:
    archive = archive_of(sound(beside))
    for name in archive.names:
        archive.computed(name)
    return archive.shared


def computed(beside: Sequence[str] = (), but: Collection[str] = ()) -> Shared:
    """
    The sound archive's records as computed once: a change of it need not again.

    Of the files in `but` nothing is known: what is changed in them is read anew.
    """
    known = _computed(tuple(beside))
    copied = Shared()
    copied.entries = {
        file: dict(held) for file, held in known.entries.items() if file not in but
    }
    copied.outcomes = {
        file: {state: [*some] for state, some in held.items()}
        for file, held in known.outcomes.items()
        if file not in but
    }
    return copied


def flags_of_one(files: Files, name: str) -> list[Flag]:
    """Every flag of one record, taken out of its archive."""
    return list(compute_standalone(files[f"records/{name}"], f"records/{name}")[1])


def briefly(flags: list[Flag]) -> list[str]:
    """One line a flag: where, how heavy, which."""
    return [f"{flag.file}:{flag.line}: {flag.severity}: {flag.flag}" for flag in flags]


def demo(*, issued: bool = False) -> Archive:
    """The demo archive in this folder; with what was issued of it only if asked."""
    paths = (ROOT / "records").rglob("*.yaml")
    names = sorted(path.relative_to(ROOT).as_posix() for path in paths)
    chains = [name for name in names if name.endswith(SUFFIX)]
    return Archive(
        [name for name in names if name not in chains],
        lambda name: (ROOT / name).read_bytes(),
        issued=chains if issued else (),
    )
