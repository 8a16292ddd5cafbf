"""An edit of a record in words: its effect, the fields it changed, who made it."""

from collections.abc import Iterator

from buildsite.archive.causes import Cause
from buildsite.archive.differences import FieldChange, ResultChange
from buildsite.archive.edits import STRANGER, Edit
from buildsite.archive.field_names import spoken, with_unit
from buildsite.archive.field_names import subject as subject_of
from buildsite.archive.identity import group_of, name_of
from buildsite.kinds.compared_figures import percent_change
from buildsite.kinds.follows import Follow
from buildsite.kinds.reporting import Spoken, difference_of, in_points, readable_text
from buildsite.pages.causes_text import capital, cause_line, from_to
from buildsite.pages.rows import result_title
from buildsite.record.commits import Signature

SIGNED = {
    "good": "signed by {0}",
    "unsigned": "not signed",
    "unknown key": "signed with a key that lab.yaml does not list",
    "expired key": "signed with a key not valid on that date",
    "revoked key": "signed with a revoked key",
    "altered": "signature invalid: altered after signing",
    "not checked": "",
}
"""State of a signature, in words."""

MOST_SUBJECTS = 4


def field_words(moved: FieldChange, method: Spoken = None) -> str:
    """
    Return a changed field in words, with the record that it is of.

    >>> about = ("records/p/tests/HF-1.yaml", "points[3].mold_and_wet_soil")
    >>> field_words(FieldChange(*about, "3947", "3974", "g"))
    'Point 4, mold and wet soil: 3947 → 3974 g (+0.7 %), two digits exchanged.'
    >>> field_words(FieldChange("records/p/samples/S-1.yaml", "soil.class", "", "CL"))
    'S-1, soil, class: CL.'
    """
    of = "" if group_of(moved.file) == "test" else record_name(moved.file)
    old, new = (with_unit(text, moved.unit) for text in (moved.old, moved.new))
    one = Cause(of, spoken(moved.field, method, moved.unit), old, new)
    return f"{cause_line(one) if old else f'{capital(one.subject)}: {new}'}."


def changed_result(old: str, new: str) -> str:
    """
    Return a result from what to what, and by how much.

    >>> changed_result("111.2 lb/ft3", "112.5 lb/ft3"), changed_result("", "12.3 %")
    ('111.2 → 112.5 lb/ft³ (+1.3 lb/ft³, +1.2 %)', '12.3 %')
    """
    was, now = (readable_text(text) if text else "" for text in (old, new))
    if not old or not new or old == new:
        return now or f"no longer reported, was {was}"
    parts = (in_points(difference_of(old, new)), percent_change(old, new))
    by = ", ".join(part for part in parts if part)
    return f"{from_to(was, now)} ({by})" if by else from_to(was, now)


def reason_line(edit: Edit) -> str:
    """Return the first line of the reason."""
    return edit.reason.partition("\n")[0] or "no reason given"


def effect_sentences(edit: Edit, method: Spoken = None) -> Iterator[str]:
    """Return the effect of an edit, in sentences."""
    if edit.placed:
        yield f"The record was {edit.placed}."
    if edit.joins:
        yield "A merge of two lines of edits, with values that neither had."
    yield from result_sentences(edit, method)
    for label, flags in (("New", edit.came), ("Cleared", edit.went)):
        names = ", ".join(dict.fromkeys(f"{f.flag} ({f.severity})" for f in flags))
        if names:
            yield f"{label} flags: {names}."
    by = "a person not on the staff list" if edit.who == STRANGER else edit.who
    how = signature_words(edit.signature)
    yield f"Edited by {by}{how}; commit {edit.commit.id[:12]}."


def result_sentences(edit: Edit, method: Spoken = None) -> Iterator[str]:
    """Return what an edit did to the results and to the verdict."""
    if edit.verdict is not None and edit.turns:
        yield verdict_sentence(edit.verdict)
    if edit.unread:
        yield f"Nothing could be computed from this edit: {edit.unread}."
    elif edit.results:
        yield "; ".join(result_sentence(row, method) for row in edit.results) + "."
    elif edit.moved:
        yield f"{changed(edit)} No reported result changed."


def verdict_sentence(one: Follow) -> str:
    """
    Return what became of a verdict, and whether a failure went.

    >>> verdict_sentence(Follow("A", "lift 7", "94 %", "95 %", "fail", "pass"))
    'A failure that is none after this edit: lift 7: fail → pass, 94 % → 95 %.'
    """
    lead = "Verdict"
    if one.vanished:
        lead = "A failure that is none after this edit"
        if one.uncounted:
            lead = "A failure that no longer counts where it was made"
    return f"{lead}: {one.words}."


def changed(edit: Edit) -> str:
    """Return one sentence on what an edit changed, if no result changed."""
    of: dict[str, list[FieldChange]] = {}
    for moved in edit.fields:
        where = (
            "" if group_of(moved.file) == "test" else f" of {record_name(moved.file)}"
        )
        of.setdefault(subject_of(moved.field) + where, []).append(moved)
    if not of or len(of) > MOST_SUBJECTS:
        return "Values used changed."
    new = all(not moved.old for found in of.values() for moved in found)
    return f"{'Added' if new else 'Changed'}: {', '.join(of)}."


def record_name(file: str) -> str:
    """
    Return the name of a record within a sentence.

    >>> record_name("records/lab.yaml"), record_name("records/p/samples/S-1.yaml")
    ('the laboratory', 'S-1')
    """
    return "the laboratory" if group_of(file) == "laboratory" else name_of(file)


def result_sentence(moved: ResultChange, method: Spoken = None) -> str:
    """
    Return how a result changed.

    >>> result_sentence(ResultChange("maximum_dry_density", "", "121.4 lb/ft³"))
    'Maximum dry density: 121.4 lb/ft³'
    """
    name = result_title(moved.name, method, moved.new or moved.old)
    return f"{name}: {changed_result(moved.old, moved.new)}"


def signature_words(signature: Signature) -> str:
    """Return the state of the signature, after a comma."""
    words = SIGNED[signature.state].format(signature.code)
    return f", {words}" if words else ""
