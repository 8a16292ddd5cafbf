"""What `enter` is asked to enter, and who may."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from buildsite.archive.archive import Archive
from buildsite.archive.records import Records
from buildsite.cli.common import read_nothing, unknown_id
from buildsite.entering.answer_check import RecordState, WorkingRecord
from buildsite.files import list_archive
from buildsite.issuing.refused import unknown_code, without_authority
from buildsite.kinds.bench_spec import Bench
from buildsite.record.places import LAB
from buildsite.values import dataclass

WHOLE = "particulars"
GROUPS = ("test", "sample", "family", "equipment", "project")


@dataclass(frozen=True)
class ChosenRecord:
    """
    A record of the archive, and what to enter in it.

    `about`: None for readings at the bench, else a part of the particulars, or all.
    """

    file: str
    group: str
    about: str | None


def choose(root: Path, what: str, about: str | None) -> ChosenRecord:
    """Return the record by its id; refuse an unknown one, with the nearest."""
    records = Records(list_archive(root).names, read_nothing)
    part = None if about is None else ("" if is_whole(about) else about)
    if what.lower() in ("lab", "laboratory"):
        return ChosenRecord(LAB, "laboratory", part or "")
    for group in GROUPS:
        file = records.find(group, what)
        if file is not None:
            return ChosenRecord(file, group, part if group == "test" else part or "")
    ids = [id for group in GROUPS for id in records.ids(group)]
    raise unknown_id("test, sample, family, equipment or project", what, ids)


def is_whole(about: str) -> bool:
    """Return whether all particulars are meant."""
    return (WHOLE.startswith(about.lower()) and len(about) > len("par")) or about == "="


def without_right(
    archive: Archive, chosen: ChosenRecord, code: str, on: date
) -> Iterator[str]:
    """
    Yield why a person may not enter this on a date.

    Readings and particulars of a test need the authority to test, the laboratory and
    its staff list that to authorize, where anybody has it. The log-in of a sample,
    equipment and projects are open to all who work here on that day.
    """
    lab = archive.laboratory
    if chosen.group == "test" or lab is None:
        yield from without_authority(archive, code, "test", on)
        return
    heads = [one for one in lab.staff.values() if "authorize" in one.may]
    if chosen.group == "laboratory" and heads:
        yield from without_authority(archive, code, "authorize", on)
        return
    who = lab.staff.get(code)
    if who is None:
        yield unknown_code(lab, code)
    elif not who.serves(on):
        yield f"{code} is not on the staff on {on} (on it{who.days})."


def reasons_against(
    id: str, record: WorkingRecord, state: RecordState
) -> Iterator[str]:
    """Yield the reasons why nothing can be entered in a record."""
    made = state.outcome
    if made is None:
        yield from map(str, state.flags)
    elif state.bench is None:
        yield f"{id} is a {made.kind.title.lower()}, which has no bench sheet."
    elif made.status == "withdrawn":
        yield f"{id} is withdrawn: nothing can be entered."
    elif not state.bench.parts:
        whole = made.kind.particulars
        parts = (whole(made.case, "") if whole is not None else Bench(())).parts
        names = ", ".join(dict.fromkeys(part.title.lower() for part in parts))
        yield f"{id} has no particulars called {record.about!r}. There are: {names}."
