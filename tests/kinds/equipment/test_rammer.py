"""A mechanical rammer, compared with one by hand."""

from tests.kinds.making import made


def test_a_mechanical_rammer_is_compared_soil_by_soil() -> None:
    outcome = made(
        "kind: rammer\nid: T-1\noperation: mechanical\nunits: {density: lb/ft3}\n"
        "calibrations: [{on: 2026-01-13, comparison: {hand_rammer: R-1, soils: "
        "[{soil: A, by_hand: 120.0, mechanical: 121.2}, "
        "{by_hand: 100.0, mechanical: 102.0}]}}]\n"
    )

    assert outcome.flags == ()  # +1.0 and +2.0 %: 1.5 % in the mean
    table = outcome.sheet().table("comparison")
    assert table is not None
    assert [cell.text for cell in table.rows[0].cells] == [
        "2026-01-13",
        "R-1",
        "A",
        "120.0",
        "121.2",
        "+1.0",
    ]
    calibrations = outcome.sheet().table("calibrations")
    assert calibrations is not None
    found = calibrations.rows[0].cells[4].text
    assert found == "maximum dry density +1.5 % relative to the hand rammer"


def test_a_mechanical_rammer_is_set_by_what_it_compacts() -> None:
    # ASTM D2168 (from memory): its mass or drop is changed until it compacts as the
    # hand rammer does; 2470 g is outside 5.50 ± 0.02 lb of ASTM D698 (from memory).
    text = (
        "kind: rammer\nid: T-1\noperation: mechanical\n"
        "calibrations: [{{on: 2026-01-13, mass: 2470, drop: 304.8{}}}]\n"
    )
    like = ", comparison: {soils: [{by_hand: 1850, mechanical: 1860}]}"
    unlike = ", comparison: {soils: [{by_hand: 1850, mechanical: 1900}]}"

    def verdicts(more: str) -> set[str]:
        table = made(text.format(more)).sheet().table("limits")
        assert table is not None
        return {r.cells[4].text for r in table.rows if r.cells[1].text == "Mass"}

    assert verdicts(like) == {"set to match the hand rammer"}
    assert verdicts(unlike) == {"out of tolerance"}
    assert verdicts("") == {"out of tolerance"}
