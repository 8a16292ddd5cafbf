"""The results of a test over its edits and revisions, as steps."""

import re
from datetime import date
from xml.etree import ElementTree

from buildsite.archive.differences import ResultChange
from buildsite.archive.edits import Edit, Timeline
from buildsite.archive.result_steps import result_steps
from buildsite.pages.revisions.result_figure import result_figure
from buildsite.record.commits import Commit
from buildsite.record.issued import Item, Software

MAXIMUM = "maximum_dry_density"
DIGEST = f"sha256:{'0' * 64}"
SVG = "{http://www.w3.org/2000/svg}"


def edited(place: int, day: str, old: str, new: str) -> Edit:
    commit = Commit(f"{place:040}", (), f"{day}T12:00:00Z", "", "", "why")
    moved = (ResultChange(MAXIMUM, old, new),)
    return Edit(commit, "T07", "why", results=moved, place=place)


def report(revision: int, day: date, text: str) -> Item:
    return Item(
        revision=revision,
        kind="report",
        issued_on=day,
        authorized_by="E02",
        reason="first issue",
        used=DIGEST,
        results={MAXIMUM: text},
        software=Software(name="buildsite", version="0", fingerprint="0" * 64),
        content=DIGEST,
    )


# Read, issued, corrected, issued again: the last place is the newest.
EDITS = (
    edited(2, "2026-11-19", "111.2 lb/ft³", "112.5 lb/ft³"),
    edited(9, "2026-10-27", "", "111.2 lb/ft³"),
)
TIMELINE = Timeline("HF-1", "records/p/tests/HF-1.yaml", EDITS, (5, 1))
ITEMS = (
    report(0, date(2026, 10, 30), "111.2 lb/ft3"),
    report(1, date(2026, 11, 20), "112.5 lb/ft3"),
)


def test_edits_and_revisions_stand_in_the_order_of_their_commits() -> None:
    steps = result_steps(TIMELINE, ITEMS)

    assert [(one.label, one.values[MAXIMUM]) for one in steps] == [
        ("", "111.2 lb/ft³"),
        ("r0", "111.2 lb/ft³"),
        ("", "112.5 lb/ft³"),
        ("r1", "112.5 lb/ft³"),
    ]


def test_the_figure_says_each_value_once_and_each_revision() -> None:
    found = result_figure(TIMELINE, ITEMS, (MAXIMUM,), None)
    assert found is not None
    picture, data = found
    root = ElementTree.fromstring(data)  # noqa: S314 (our own drawing)

    texts = [one.text for one in root.iter(f"{SVG}text")]
    assert texts.count("111.2") == texts.count("112.5") == 1
    assert {"r0", "r1", "Maximum dry density, lb/ft³"} <= set(texts)
    assert root.find(f"{SVG}title") is not None
    assert picture.alt.endswith("2026-11-19 112.5 lb/ft³, r1 112.5 lb/ft³.")
    # The higher value is drawn higher: up is a smaller y.
    way = next(one for one in root.iter(f"{SVG}path") if one.get("stroke-width"))
    heights = [float(y) for y in re.findall(r"[ML][\d.]+ ([\d.]+)", way.get("d", ""))]
    assert heights[0] > heights[-1]


def test_a_result_that_never_changed_has_no_figure() -> None:
    timeline = Timeline("HF-1", "records/p/tests/HF-1.yaml", EDITS[1:], (5,))

    assert result_figure(timeline, ITEMS[:1], (MAXIMUM,), None) is None
