"""What a field density asks of its project, and what of it moves no issued test."""

from buildsite.kinds.outcome import Outcome
from tests.archives import archive_of, sound

FILE = "records/marsh-lane/tests/FD-01.yaml"
PROJECT = "records/marsh-lane/project.yaml"
OWN, OTHER = 'least_percent_compaction: "95"\n', 'A}, least_percent_compaction: "95"'


def made(was: str = "", now: str = "") -> Outcome:
    files = dict(sound(("field-density",)))
    text = files[PROJECT].decode()
    assert text.count(was) == 1 or not was
    files[PROJECT] = text.replace(was, now).encode() if was else text.encode()
    outcome = archive_of(files).outcome(FILE)
    assert outcome is not None
    return outcome


def test_what_is_required_elsewhere_moves_no_field_test() -> None:
    assert made(OTHER, OTHER.replace("95", "90")).used == made().used


def test_a_further_engineer_moves_no_field_test() -> None:
    assert made("[E02]", "[E02, {name: R. Alder}]").used == made().used


def test_what_is_required_of_its_zone_moves_it() -> None:
    assert made(OWN, OWN.replace("95", "98")).used != made().used
