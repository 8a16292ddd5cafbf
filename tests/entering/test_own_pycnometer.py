"""A specific gravity without a pycnometer on file asks for the masses it needs."""

from datetime import date

from buildsite.archive.archive import Archive
from buildsite.entering.answer_check import WorkingRecord
from buildsite.entering.session import Session
from buildsite.starting.surroundings import Surroundings, with_resolutions
from tests.archives import sound
from tests.entering.session import Held, hold
from tests.kinds.making import kind

PYCNOMETER = """format: 1
kind: pycnometer
id: PY-01
calibrations: [{on: 2026-01-14, mass: 180.00, fillings: [
  {full: 678.00, temperature_c: 20.0}, {full: 678.00, temperature_c: 20.0}]}]
"""


def begun(*, on_file: bool) -> Session:
    """Sit down at a new test, in a laboratory with or without a pycnometer."""
    data = sound()
    if on_file:
        data = {**data, "records/equipment/PY-01.yaml": PYCNOMETER.encode()}
    archive = Archive(sorted(data), data.__getitem__)
    told = {"on": "2026-03-10", "by": "T07", "sample": "ML-S1"}
    known = Surroundings(archive).known(kind("specific-gravity"), told)
    told = {**known, **told, "standard": "AASHTO T 100", "method": "none"}
    new = with_resolutions(archive, kind("specific-gravity"), "ML-201", told)
    record = WorkingRecord(new.file, archive, "T07", date(2026, 3, 10))
    return Session(record, record.state(new.text.encode()), None)


def answers(session: Session, said: dict[str, str]) -> Held:
    """Answer what a prompt is known for; pass over the rest."""

    def say(prompt: str) -> str | None:
        for words, answer in said.items():
            if "Determination 1" in prompt and f": {words}" in prompt:
                return answer
        return "" if "no." in prompt or "Add " in prompt else "s"

    return hold(session, say)


# All at 20 °C, where K is 1. Water displaced: 50.00 + 678.00 - 709.44 = 18.56 g;
# 50.00 / 18.56 = 2.694.
MASSES = {
    "Pycnometer, soil and water": "709.44",
    "Water temperature": "20.0",
    "Dry soil": "50.00",
}


def test_the_masses_empty_and_full_and_their_temperature_are_asked_for() -> None:
    said = {
        "Pycnometer (none on file)": "",
        "Empty pycnometer": "180.00",
        "Pycnometer full of water": "678.00",
        "Its water temperature": "20.0",
    }
    session = begun(on_file=False)
    held = answers(session, said | MASSES)

    for words in said:
        assert any(words in prompt for prompt in held.asked), words
    assert "specific gravity 2.694" in held.words
    assert "Container no." not in "\n".join(held.asked)


def test_with_a_pycnometer_on_file_they_are_not() -> None:
    said = {"Pycnometer (1 PY-01)": "1"}
    held = answers(begun(on_file=True), said | MASSES)

    first = "\n".join(one for one in held.asked if "Determination 1" in one)
    assert "Pycnometer full of water" not in first
    assert "specific gravity 2.694" in held.words


def test_soil_weighed_in_a_container_is_asked_for_with_its_container() -> None:
    said = {
        "Pycnometer (1 PY-01)": "1",
        "Pycnometer, soil and water": "709.44",
        "Water temperature": "20.0",
        "Dry soil": "",
        "Empty container": "31.20",
        "Container and dry soil": "81.20",
    }
    held = answers(begun(on_file=True), said)
    assert "specific gravity 2.694" in held.words
