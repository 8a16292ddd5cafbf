"""At the bench of a compaction test: what the sample's log-in leaves open is asked."""

from datetime import date

from buildsite.archive.archive import Archive
from buildsite.entering.answer_check import WorkingRecord
from buildsite.entering.session import Session
from buildsite.record.source import read_source
from tests.archives import sound
from tests.entering.session import SEPARATE, begun, hold, session

SAMPLE = "records/marsh-lane/samples/ML-S2.yaml"
BARE = "format: 1\nkind: sample\nid: ML-S2\nproject: marsh-lane\n"


def at(sample: str) -> Session:
    """Sit down at a test without points, whose sample says so much."""
    text = begun(0).replace("prepared: {on: 2026-03-09, by: T07}\n", "")
    name = read_source("x", text.encode()).tree["sample"]
    assert name == "ML-S2"
    data = {**sound(), SAMPLE: sample.encode(), SEPARATE: text.encode()}
    archive = Archive(sorted(data), data.__getitem__)
    record = WorkingRecord(SEPARATE, archive, "T07", date(2026, 3, 10))
    return Session(record, record.state(text.encode()), text.encode())


def asked(sample: str) -> str:
    """Return every prompt, each passed over."""
    return "\n".join(hold(at(sample), ["s"] * 80).asked)


GRADED = "gradation: {retained_3_4_in: 0, retained_3_8_in: 4, retained_no_4: 13.1}\n"
KNOWN = "specific_gravity: {value: 2.70, basis: measured}\n"


def test_the_specific_gravity_is_asked_for_where_the_sample_has_none() -> None:
    assert "Specific gravity (" in asked(BARE)
    assert "Specific gravity (" not in asked(BARE + KNOWN)


def test_the_oversize_is_asked_for_where_the_gradation_shows_one() -> None:
    assert "Oversize by" not in asked(BARE)
    assert "Oversize by" in asked(BARE + GRADED)
    few = GRADED.replace("13.1", "4.9")  # D698 corrects above 5 %: clause 1.4
    assert "Oversize by" not in asked(BARE + few)
    stated = "oversize: {sieve: No. 4, percent_retained: 13.1}\n"
    assert "Oversize by" not in asked(BARE + GRADED + stated)


def test_the_answers_stand_in_the_test_and_go_into_the_result() -> None:
    said = {
        "Specific gravity (": "2.70 measured",
        "Oversize by": "",
        "Oversize: retained": "13.1",
        "Oversize: on sieve": "",
        "Oversize: bulk specific gravity is": "1",
        "Oversize: bulk specific gravity:": "2.62",
        "Oversize: water": "1.1",
    }

    def answer(prompt: str) -> str | None:
        for words, one in said.items():
            if prompt.startswith(words):
                return one
        return "s" if "Point" not in prompt else None

    held = hold(at(BARE + GRADED), answer)
    assert held.tree["specific_gravity"] == {"value": "2.70", "basis": "measured"}
    assert held.tree["oversize"] == {
        "percent_retained": "13.1",
        "sieve": "No. 4",  # Enter: the method's own
        "bulk_specific_gravity": "2.62",
        "bulk_basis": "oven-dry",
        "water_content": "1.1",
    }


def test_nobody_is_said_to_have_weighed_dry_what_is_still_in_the_oven() -> None:
    held = hold(session(begun(5)), lambda prompt: "s" if "dry soil" in prompt else "")
    assert not [one for one in held.asked if one.startswith(("Weighed", "Readings"))]
    assert "dried" not in held.tree
    assert "entered" not in held.tree

    done = hold(session(begun(5, dry=True)), lambda prompt: "")
    assert done.tree["dried"] == {"on": "2026-03-10", "by": "T07"}
