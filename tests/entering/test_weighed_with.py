"""With or without base plate is asked where nobody has said so."""

from datetime import date

import pytest

from buildsite.archive.archive import Archive
from buildsite.entering.answer_check import WorkingRecord
from buildsite.entering.session import Session
from buildsite.starting.surroundings import Surroundings, with_resolutions
from tests.archives import sound
from tests.entering.session import hold
from tests.kinds.making import kind

MOLD = "records/equipment/M-04.yaml"
TOLD = {"on": "2026-03-10", "by": "T07", "standard": "ASTM D698", "method": "A"}


def archive_with(weighed_with: str) -> Archive:
    """The sound archive without tests, whose mold was so weighed at calibration."""
    data = {name: text for name, text in sound().items() if "/tests/" not in name}
    text = data[MOLD].decode()
    assert "    weighed_with: mold\n" in text
    said = f"    weighed_with: {weighed_with}\n" if weighed_with else ""
    data[MOLD] = text.replace("    weighed_with: mold\n", said).encode()
    return Archive(sorted(data), data.__getitem__)


def begun(archive: Archive) -> Session:
    """Sit down at a new test."""
    known = Surroundings(archive).known(kind("moisture-density"), TOLD)
    told = {**known, **TOLD, "compacted_unit": "g"}
    new = with_resolutions(archive, kind("moisture-density"), "ML-201", told)
    record = WorkingRecord(new.file, archive, "T07", date(2026, 3, 10))
    return Session(record, record.state(new.text.encode()), None)


@pytest.mark.parametrize("way", ["mold", "mold and base plate"])
def test_what_the_calibration_says_is_taken_over(way: str) -> None:
    session = begun(archive_with(way))
    assert session.tree["weighed_with"] == way


def test_where_it_says_nothing_the_technician_is_asked() -> None:
    session = begun(archive_with(""))
    assert session.tree["weighed_with"] is None

    asked: list[str] = []

    def answer(prompt: str) -> str | None:
        asked.append(prompt)
        if "Soil weighed with" in prompt:
            return "2"
        return None if "base plate" in prompt else "s"

    held = hold(session, answer)
    assert any("(1 mold, 2 mold and base plate)" in one for one in asked)
    assert "weighed_with: mold and base plate" in held.text
    assert "Empty mold and base plate" in asked[-1]
