"""Reviews: entered in the text of a record."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from buildsite.archive.across import flags_across, traces_of
from buildsite.archive.archive import Archive
from buildsite.archive.edited_after_review import flags_of_edited
from buildsite.archive.entries import Shared
from buildsite.files import list_archive, write_files
from buildsite.history.commit import commit, head, message_of
from buildsite.history.under_way import refuse_while_under_way
from buildsite.history.walk import read_history
from buildsite.issuing.cautions import since_review
from buildsite.issuing.refused import (
    Refused,
    open_errors,
    still_in_progress,
    uncommitted,
    without_authority,
)
from buildsite.record.commits import places_touching
from buildsite.record.flags import Flag
from buildsite.record.set_field import CannotAmend, set_field
from buildsite.record.set_reading import set_reading
from buildsite.record.source import Source, read_source
from buildsite.values import dataclass


@dataclass(frozen=True)
class Review:
    """
    What one command reviews.

    `files`: the records it changes, without those that have this review already;
    `flags`: those after the review.
    """

    root: Path
    ids: tuple[str, ...]
    by: str
    files: dict[str, bytes]
    flags: tuple[Flag, ...]
    signed: bool

    def keep(self, *, committing: bool = True) -> str:
        """Write the records and commit them; return the commit's id."""
        if not self.files:
            return ""
        if not committing:
            write_files(self.root, self.files)
            return ""
        message = message_of(
            f"Review {', '.join(self.ids)}", [("Reviewed-by", self.by)]
        )
        return commit(self.root, self.files, message, sign=self.signed)


def with_review(source: Source, by: str, on: date) -> bytes:
    """Return a record's text with who reviewed it, and when."""
    if isinstance(source.tree.get("reviewed"), dict) and not in_one_line(source):
        for name, value in (("on", on.isoformat()), ("by", by)):
            data = set_field(source, ("reviewed", name), value)
            source = read_source(source.file, data)
        return source.data
    inside = f"{{on: {on.isoformat()}, by: {by}}}"
    return set_field(source, ("reviewed",), inside, before="status")


def is_review_of(source: Source, by: str, on: date) -> bool:
    """Return whether a record states a review by this person on this day already."""
    stands = source.tree.get("reviewed")
    same = {"on": on.isoformat(), "by": by}
    return isinstance(stands, dict) and {**stands, **same} == stands


def reviewed_again(root: Path, archive: Archive, file: str) -> bytes:
    """
    Return a record's text with a review by the same person on the same day.

    It is as it stands, unless the test was edited since: then it counts one more, for
    else nothing would tell the later review from the earlier.
    """
    outcome, past = archive.outcome(file), read_history(root)
    source = archive.entry(file).source
    try:
        touched = places_touching(past)
        edited = flags_of_edited(archive, [file], past, touched)
        moved = outcome is not None and any(since_review(past, outcome, Shared()))
    finally:
        past.blobs.close()
    if not (edited or moved):
        return source.data
    times = int(source.tree["reviewed"].get("again") or 0) + 1
    return set_reading(source, ("reviewed", "again"), str(times))


def in_one_line(source: Source) -> bool:
    """Whether a review is in braces, and so set as a whole."""
    line, _ = source.key_place(("reviewed",))
    return "{" in source.text.splitlines()[line - 1]


def plan_review(
    root: Path, ids: Sequence[str], by: str, on: date, *, committing: bool = True
) -> Review:
    """
    Return the review of some tests, each checked as it will be.

    Raises
    ------
    Refused
        With every reason, if any of the tests may not be reviewed.
    """
    listing = list_archive(root)
    archive = Archive(listing.names, listing.read, issued=listing.issued)
    across = flags_across(archive, traces_of(archive, archive.files("test")))
    reasons = list(without_authority(archive, by, "review", on))
    if committing:
        head(root)
        refuse_while_under_way(root)
    files: dict[str, bytes] = {}
    for id in sorted(ids):
        source = archive.entry(archive.find("test", id) or id).source
        status = source.tree.get("status")
        if status != "complete":
            reasons.append(not_complete(archive, source.file, id, status))
            continue
        try:
            if committing and is_review_of(source, by, on):
                data = reviewed_again(root, archive, source.file)
            else:
                data = with_review(source, by, on)
            files[source.file] = data
        except CannotAmend as fault:
            reasons.append(str(fault))
        if committing:
            reasons += uncommitted_inputs(root, archive, source.file)
    after = archive.with_files(files)
    after.across_flags = across
    flags = [flag for file in sorted(files) for flag in after.flags(file)]
    reasons += open_errors(", ".join(sorted(ids)), flags)
    if reasons:
        raise Refused(reasons)
    changed = {file: data for file, data in files.items() if data != listing.read(file)}
    signed = archive.signs_edits()
    return Review(root, tuple(sorted(ids)), by, changed, tuple(flags), signed)


def not_complete(archive: Archive, file: str, id: str, status: object) -> str:
    """Return why a test that is not complete can't be reviewed."""
    made = archive.outcome(file)
    if status == "in-progress" and made is not None:
        return f"{still_in_progress(made)} It is reviewed after that."
    return f"{id} is {status or 'unreadable'}: only complete tests are reviewed."


def uncommitted_inputs(root: Path, archive: Archive, file: str) -> Iterator[str]:
    """Yield the inputs of a test that differ from HEAD."""
    made = archive.outcome(file)
    if made is not None:
        names = sorted({name.partition("#")[0] for name in made.inputs})
        inputs = {name: archive.read_file(name) for name in names}
        yield from uncommitted(root, made.id, inputs)
