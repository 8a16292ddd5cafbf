"""What became of the verdict of a field density, from one of its results to another."""

from collections.abc import Iterator, Mapping
from typing import Any

from buildsite.kinds.follows import FAIL, NONE, Follow

Result = Mapping[str, Any]
"""A result as in `show --json`, or as kept."""

COUNTED = "acceptance"
"""The purpose of tests that count."""

PLACES = ("project", "zone", "lift", "place")
"""Where a failure counts: in another one, it is out of the first."""


def follows(old: Result, new: Result) -> Follow | None:
    """Return what became of a verdict; None if one of the results tells none."""
    was, now = (told(result) for result in (old, new))
    if was is None or now is None:
        return None
    verdicts = [verdict_of(result) for result in (old, new)]
    out = [*uncounted(old, new)] if verdicts[0] == FAIL else []
    return Follow(
        id=str(new.get("id") or now.get("id") or ""),
        place=place_of(now),
        old_percent=percent_of(old),
        new_percent=percent_of(new),
        old_verdict=verdicts[0],
        new_verdict=verdicts[1],
        uncounted=", ".join(out),
        day=str(now.get("tested_on") or ""),
        left=project_left(was, now) if out else "",
    )


def project_left(was: Result, now: Result) -> str:
    """Return the project that a test was moved out of; blank if it was not."""
    before = str(was.get("project") or "")
    return before if before != now.get("project") else ""


def told(result: Result) -> Result | None:
    """Return the part of a result about the work in the field."""
    found = result.get("field")
    return found if isinstance(found, Mapping) else None


def verdict_of(result: Result) -> str:
    """Return the verdict, also of a test in progress: its readings stand."""
    found = result.get("acceptance")
    told = found.get("verdict") if isinstance(found, Mapping) else None
    return str(told or NONE)


def percent_of(result: Result) -> str:
    """Return percent compaction as reported; blank if there is none."""
    found = result.get("results", {}).get("percent_compaction")
    return str(found["reported"]) if found is not None else ""


def place_of(now: Result) -> str:
    """Return zone, lift and position in words."""
    parts = [f"{name} {now[name]}" for name in ("zone", "lift") if now.get(name)]
    return ", ".join(filter(None, (*parts, str(now.get("place") or ""))))


def uncounted(old: Result, new: Result) -> Iterator[str]:
    """Yield in words what took a failure out of those that count."""
    was, now = told(old) or {}, told(new) or {}
    if was.get("purpose") != COUNTED or old.get("status") == "withdrawn":
        return
    if new.get("status") == "withdrawn":
        yield "withdrawn"
    if now.get("purpose") != COUNTED:
        yield f"purpose: {COUNTED} → {now.get('purpose')}"
    for name in PLACES:
        if was.get(name) != now.get(name):
            yield f"{name}: {was.get(name) or NONE} → {now.get(name) or NONE}"
