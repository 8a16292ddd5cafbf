"""The row of a lift answers: does it meet, by how many tests, by which curve."""

from buildsite.archive.field_tests import FieldControl, field_control
from buildsite.kinds.field_control.results import Told
from buildsite.kinds.follows import Follow
from buildsite.kinds.sheet import Row
from buildsite.pages.field.lift_table import lift_table
from tests.pages.field.fills import PROJECT, accepted, field_one, one


def fill(*told: Told) -> FieldControl:
    made = field_control(PROJECT, told)
    assert made is not None
    return made


def texts(row: Row) -> list[str]:
    return [cell.text for cell in row.cells]


LIFT_7 = (
    field_one("F1", 2, lift="7"),
    field_one("F2", 2, lift="7"),
    one("L1", accepted("embankment", "7", "2026-06-03")),
)


def test_a_lift_is_answered_in_one_row() -> None:
    (row,) = lift_table(fill(*LIFT_7), {}).rows
    name, tests, state, _, curve = row.cells

    assert name.text == "Embankment, lift 7"
    assert tests.text == "2 of 2 made, 2 met"
    assert state.text.startswith("Accepted by E02 on 2026-06-03 (L1")
    assert curve.text == "HF-0117 r2"
    assert curve.to == ("revision", "HF-0117/r2")
    assert row.mark == ""


def test_several_references_are_named() -> None:
    tests = [field_one(f"F{n}", reference_revision=f"HF-P{n} r0") for n in range(1, 6)]

    def told(number: int) -> str:
        (row,) = lift_table(fill(*tests[:number]), {}).rows
        return texts(row)[-1]

    assert told(2) == "HF-P1 r0, HF-P2 r0"
    assert told(5) == "HF-P1 r0, HF-P2 r0, HF-P3 r0 and 2 more"


def test_an_accepted_lift_says_that_its_reference_was_amended_since() -> None:
    turned = Follow("F1", "", "95.1 %", "94.0 %", "pass", "fail")
    same = Follow("F2", "", "98.1 %", "97.0 %", "pass", "pass")
    later = field_one("F9", 1, lift="8", zone="abutment")

    rows = lift_table(fill(*LIFT_7, later), {"F1": turned, "F2": same}).rows

    # Before the lift that is met but not accepted: it asks for an act.
    assert [texts(row)[0] for row in rows] == ["Embankment, lift 7", "Abutment, lift 8"]
    state = texts(rows[0])[2]
    assert state.startswith("Accepted by E02")
    assert state.endswith("To judge again: 2 tests, F1 pass → fail")
    assert rows[0].mark == "warning"


def test_a_client_is_told_that_they_wait_and_no_figure() -> None:
    (row,) = lift_table(fill(*LIFT_7), {"F2": None}).rows

    assert texts(row)[2].endswith("To judge again: 1 test")
