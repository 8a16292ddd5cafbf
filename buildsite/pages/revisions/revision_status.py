"""Type and status of an issued item, in words."""

from collections.abc import Callable

from buildsite.kinds.reporting import readable_text
from buildsite.record.issued import Item

Items = tuple[Item, ...]

SORTS = {
    "report": "Report",
    "preliminary": "Preliminary report",
    "withdrawal": "Withdrawal",
    "assessment": "Assessment",
}
"""Type of an item."""

STATES = {
    "report": ("Issued: revision {0}, {1}.", "good"),
    "preliminary": ("Preliminary: revision {0}, {1}. Not a final report.", "open"),
    "withdrawal": ("Withdrawn: revision {0}, {1}. Do not use the result.", "stop"),
}
"""Status line and tone of a test, by the last item sent."""

ENDS = {"report": "replaced", "withdrawal": "withdrawn"}
"""Effect of a later item on a report."""

STANDS = {
    "report": ("This is the latest report of this test.", "good"),
    "preliminary": ("This is a preliminary report, not a final one.", "open"),
    "withdrawal": ("It withdraws the result: do not use the result.", "stop"),
    "assessment": ("This is an assessment of an earlier report, not a report.", "open"),
}
"""Status line and tone of an item neither replaced nor withdrawn."""


KEPT = "Kept as issued."


def current_status(items: Items, item: Item) -> tuple[str, str]:
    """Return the status line of a test by its last report, and its tone."""
    before = replaced_report(items, item)
    if before is None:
        words, tone = STATES[item.kind]
        return words.format(item.revision, item.issued_on), tone
    gone = ", which was withdrawn" if ending(items, before).startswith("with") else ""
    number = f"revision {item.revision}"
    return f"Amended: {number} replaces revision {before.revision}{gone}.", "open"


def revision_status(items: Items, item: Item) -> tuple[str, str]:
    """Return the status line of an issued item, and its tone."""
    last = next((o for o in reversed(items) if o.kind != "assessment"), item)
    ended = ending(items, item)
    if ended:
        words, tone = f"{ended.capitalize()}. Do not use it.", "stop"
    else:
        words, tone = STANDS[item.kind]
        words = f"{KEPT} {words}"
    if last.revision <= item.revision or f"by r{last.revision} " in ended:
        return words, tone
    if last.kind == "withdrawal":
        return f"{words} r{last.revision} of {last.issued_on} withdrew the test.", tone
    sort = SORTS[last.kind].lower()
    return f"{words} r{last.revision} of {last.issued_on} is the latest {sort}.", tone


def replaced_report(items: Items, item: Item) -> Item | None:
    """Return the final report that a final report replaces, if there is one."""
    if item.kind != "report":
        return None
    before = [one for one in items if one.kind == "report"]
    return next((o for o in reversed(before) if o.revision < item.revision), None)


def item_title(items: Items, item: Item) -> str:
    """Return the type of an item; a report that follows a report amends it."""
    if item.assesses is not None:
        return f"Assessment of r{item.assesses}"
    amends = replaced_report(items, item)
    return (
        f"Amendment of r{amends.revision}" if amends is not None else SORTS[item.kind]
    )


def ended_by(items: Items, item: Item) -> Item | None:
    """Return what replaced or withdrew a report; None for a valid one."""
    if item.kind not in ("report", "preliminary"):
        return None
    later = (one for one in items if one.revision > item.revision)
    return next((one for one in later if one.kind in ENDS), None)


def ending(items: Items, item: Item) -> str:
    """Return what replaced or withdrew a report, in words; empty if nothing did."""
    end = ended_by(items, item)
    if end is None:
        return ""
    return f"{ENDS[end.kind]} by r{end.revision} of {end.issued_on}"


def title_and_ending(items: Items, item: Item) -> tuple[str, str]:
    """Return the type of an item, and what replaced or withdrew it."""
    return item_title(items, item), ending(items, item)


ResultTitle = Callable[[str, str], str]
"""A result's name and what was reported → the standard's word for it."""


def results_sentence(before: Item | None, item: Item, title: ResultTitle) -> str:
    """Return what a report states; if it replaces another, each change of a result."""
    old = before.results if before is not None else {}
    parts = []
    for name, text in item.results.items():
        now = readable_text(text)
        if name in old and old[name] != text:
            now = f"{readable_text(old[name])} → {now}"
        if before is None or old.get(name) != text:
            parts.append(f"{title(name, text)} {now}")
    lost = sorted(old.keys() - item.results)
    parts += [f"{title(name, old[name])} no longer reported" for name in lost]
    nothing = "No reported result changed." if before is not None else "No result."
    return "; ".join(parts) or nothing
