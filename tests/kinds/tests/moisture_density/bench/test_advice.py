"""What `next` says of the two sound tests, point by point."""

from collections.abc import Mapping

import pytest

from buildsite.archive.archive import Archive
from buildsite.entering.earlier import earlier_mean
from buildsite.kinds.tests.moisture_density.bench.advice import (
    NextSteps,
    Weighed,
    advice_lines,
    as_json,
    expected_optimum,
    next_steps,
)
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.moisture_density.estimates import estimates
from buildsite.standards.cells import UNCHECKED
from tests.archives import sound
from tests.entering.session import REUSED, SEPARATE, begun


def case_of(text: str, file: str, more: Mapping[str, bytes] | None = None) -> Test:
    data = {**sound(), **(more or {}), file: text.encode()}
    made = Archive(sorted(data), data.__getitem__).outcome(file)
    assert made is not None
    case: Test = made.case
    return case


def advised(
    text: str,
    file: str,
    now: Weighed | None = None,
    more: Mapping[str, bytes] | None = None,
) -> tuple[NextSteps, str]:
    data = {**sound(), **(more or {}), file: text.encode()}
    archive = Archive(sorted(data), data.__getitem__)
    made = archive.outcome(file)
    assert made is not None
    expected = expected_optimum(made.case, earlier_mean(archive, file))
    found = next_steps(made.case, expected, now or Weighed())
    return found, "\n".join(advice_lines(made.case, found))


@pytest.mark.parametrize("file", [SEPARATE, REUSED])
def test_estimates_come_near_what_the_oven_told_later(file: str) -> None:
    # Every number here is an observation of the bench sheet: water added and soil in
    # the pan against the containers' masses. Mixing loses a little water.
    wet, dry = (
        case_of(begun(5, file, dry=oven, pan=True), file) for oven in (False, True)
    )

    for before, after in zip(estimates(wet), estimates(dry), strict=True):
        assert not before.measured
        assert after.measured
        assert before.water_content == pytest.approx(after.water_content, abs=0.3)
        assert before.dry_density == pytest.approx(after.dry_density, rel=0.004)


def test_what_the_oven_told_of_one_point_carries_to_the_next() -> None:
    text = begun(2, REUSED).replace("162.79}", "162.79, container_and_dry: 147.04}")
    first, second = estimates(case_of(text, REUSED))

    # By hand: (162.79 - 147.04) / (147.04 - 31.42) = 13.622 %; 48 g into
    # 6.31 lb × 453.59237 / 1.13622 = 2519.1 g of dry soil: 1.905 points.
    assert first.water_content == pytest.approx(13.622, abs=0.001)
    assert second.water_content == pytest.approx(15.528, abs=0.001)


def test_soil_that_was_not_weighed_gives_no_estimate() -> None:
    text = begun(2, REUSED).replace("specimen_mass: 6.31, ", "")
    _, told = advised(text, REUSED)

    assert [one.number for one in estimates(case_of(text, REUSED))] == [1]
    assert "Moisture content of point 2 not known" in told


def test_water_counted_up_is_read_so() -> None:
    text = begun(3, REUSED).replace("water_added: each", "water_added: cumulative")
    text = text.replace("ml: 48, specimen_mass: 6.14", "ml: 96, specimen_mass: 6.14")
    each, cumulative = (estimates(case_of(t, REUSED)) for t in (begun(3, REUSED), text))

    assert [one.water_content for one in each] == pytest.approx(
        [one.water_content for one in cumulative]
    )


def test_it_begins_four_points_below_what_is_typical_of_the_class() -> None:
    # NAVFAC DM-7.02, table 1 (from memory): CL 24 to 12 %. The middle less 4: 14 %.
    found, told = advised(begun(0, REUSED), REUSED)

    assert found.aim is not None
    assert found.aim.water_content == pytest.approx(14.0)
    assert "the usual range of CL at standard effort, 12 to 24 %" in told


def test_what_is_typical_of_modified_effort_names_its_shift() -> None:
    # Modified effort takes 2 to 6 points off (common practice): CL 22 to 6 %.
    text = begun(0, REUSED)
    assert "AASHTO T 99" in text
    _, told = advised(text.replace("AASHTO T 99", "AASHTO T 180"), REUSED)

    assert "the usual range of CL at modified effort, 6 to 22 %" in told
    assert f"table 1 ({UNCHECKED}), lowered 2 to 6 points for modified effort" in told
    assert "for modified effort" not in advised(text, REUSED)[1]


def test_an_earlier_test_of_the_sample_comes_before_its_class() -> None:
    other = REUSED.replace("ML-101", "ML-103")
    text = sound()[REUSED].decode().replace("id: ML-101", "id: ML-103")
    found, told = advised(begun(0, REUSED), REUSED, more={other: text.encode()})

    assert "ML-103, of the same sample" in told
    # The demo test's own curve has its peak between 15.5 and 19.4 %, its neighbours.
    assert found.expected is not None
    assert 15.5 < found.expected.water_content < 19.4


def test_an_earlier_test_at_another_effort_says_nothing() -> None:
    other = REUSED.replace("ML-101", "ML-103")
    text = sound()[REUSED].decode().replace("id: ML-101", "id: ML-103")
    text = text.replace("AASHTO T 99", "AASHTO T 180")
    _, told = advised(begun(0, REUSED), REUSED, more={other: text.encode()})

    assert "ML-103" not in told


def test_of_a_soil_of_no_class_it_asks_for_one() -> None:
    sample = "records/marsh-lane/samples/ML-S1.yaml"
    text = sound()[sample].decode().replace("class: CL, class_basis: tested, ", "")
    found, told = advised(begun(0, REUSED), REUSED, more={sample: text.encode()})

    assert found.aim is None
    assert "state the soil class on the sample" in told


@pytest.mark.parametrize("dry", [False, True])
def test_the_way_of_the_wet_mass_and_the_side_of_the_optimum(*, dry: bool) -> None:
    # ML-101: wet masses 8.32, 8.49, 8.64, 8.66, 8.61 lb in one mold.
    ways, sides = [], []
    for points in range(1, 6):
        found, _ = advised(begun(points, REUSED, dry=dry), REUSED)
        ways.append(found.state.wet_mass)
        sides.append(found.state.side)

    assert ways == ["", "rises", "rises", "rises", "falls"]
    assert sides == ["dry", "dry", "dry", "both", "both"]


def test_a_method_with_a_stop_rule_goes_on_until_the_wet_mass_falls() -> None:
    going, told = advised(begun(4, REUSED), REUSED)
    stopped, _ = advised(begun(5, REUSED), REUSED)

    assert "continue the series" in told
    assert [one.what for one in going.state.wanted] == [
        "a wetter point at which the wet mass does not rise"
    ]
    assert stopped.state.wanted == ()
    assert stopped.aim is None


def test_a_method_that_counts_sides_asks_for_two_on_each() -> None:
    # ASTM D698 (from memory): two dry and two wet of the optimum at least.
    found, told = advised(begun(4, dry=True, pan=True), SEPARATE)

    assert "1 more point wet of optimum" in told
    assert found.aim is not None
    assert found.aim.water_content > found.state.points[-1].water_content


def test_a_series_that_begins_too_wet_goes_back() -> None:
    every = begun(5, dry=True, pan=True).splitlines(keepends=True)
    text = "".join(
        line
        for line in every
        if "2410, wetted_at: 2026-03-09T14:10" not in line and "2408" not in line
    )
    found, told = advised(text, SEPARATE)

    assert found.state.side == "wet"
    assert found.aim is not None
    assert found.aim.water_content < found.state.points[0].water_content
    assert "drier than point 1" in told


def test_a_gap_beside_the_highest_point_is_filled() -> None:
    # AASHTO T 99: steps of at most 2.5 points (from memory). Without its third point
    # the reused series leaps from 15.5 to 19.4 %.
    every = begun(5, REUSED, dry=True).splitlines(keepends=True)
    text = "".join(line for line in every if 'container: "14"' not in line)
    found, told = advised(text, REUSED)

    assert "a point between" in told
    assert found.aim is not None
    assert found.aim.water_content == pytest.approx((15.5 + 19.4) / 2, abs=0.1)


def test_the_water_is_for_the_soil_in_the_pan() -> None:
    found, told = advised(
        begun(3, REUSED, dry=True), REUSED, Weighed(pan=2.7, aim=19.0)
    )

    # By hand: point 3 has (166.39 - 146.46) / (146.46 - 31.77) = 17.377 %;
    # 2700 g / 1.17377 × (19.0 - 17.377) / 100 = 37.3 g.
    assert found.water is not None
    assert found.water.mass == pytest.approx(0.0373, abs=0.0001)
    assert "Water to add: 37 mL, to 2.70 kg of soil (weighed now) at 17.4 %" in told


def test_what_is_left_in_the_pan_is_what_was_there_and_what_was_taken() -> None:
    found, _ = advised(begun(3, REUSED), REUSED)

    # By hand: 6.14 lb × 0.45359237 + 0.048 kg of water, less the container's
    # 166.39 - 31.77 g: 2.69843 kg.
    assert found.pan.mass == pytest.approx(2.69843, abs=0.00001)


def test_separate_specimens_start_from_soil_without_the_water() -> None:
    found, _ = advised(begun(1, dry=True, pan=True), SEPARATE)

    # By hand: w = (198.41 - 187.19) / (187.19 - 52.13) = 8.3075 %; dry soil
    # (2410 + 85) / 1.083075 = 2303.6 g; 2410 g less that is 106.4 g: 4.617 %.
    assert found.pan.water_content == pytest.approx(4.617, abs=0.002)


def test_without_the_pan_the_water_is_told_for_each_kilogram() -> None:
    text = begun(2, REUSED, dry=True).replace("specimen_mass: 6.60, ", "")
    text = text.replace("specimen_mass: 6.31, ", "")
    _, told = advised(text, REUSED)

    # By hand: 1000 g / 1.155 × 2 / 100 = 17.3 g for each kilogram.
    assert "Water to add: 17 mL for each kg of wet soil" in told


def test_soil_that_is_too_wet_already_takes_none() -> None:
    _, told = advised(begun(2, REUSED, dry=True), REUSED, Weighed(aim=10.0))

    assert "is too wet" in told


def test_the_least_soil_to_begin_is_the_methods_own() -> None:
    # AASHTO T 99, method A (from memory): about 3 kg for all points, 6.61 lb.
    short, told = advised(begun(0, REUSED), REUSED, Weighed(pan=2.9))
    ample, _ = advised(begun(0, REUSED), REUSED, Weighed(pan=3.1))

    assert "NOT enough. Needed: 6.61 lb, about 3 kg" in " ".join(told.split())
    assert (short.soil.enough, ample.soil.enough) == (False, True)


def test_a_method_without_reuse_has_no_least_soil_for_reused_soil() -> None:
    # ASTM D698 lets no soil be used again; its 35 lb are for new soil at each point.
    text = begun(0).replace("specimens: separate", "specimens: reused")
    found, told = advised(text, SEPARATE, Weighed(pan=3.0))

    assert found.soil.enough is None
    assert "NOT enough" not in told


def test_specimens_still_to_make_are_counted() -> None:
    # ASTM D698 method A (from memory): about 5 lb each; three of four are wanting.
    found, told = advised(begun(1, pan=True), SEPARATE, Weighed(left=6.0))

    assert "3 specimens of 5 lb" in told
    assert found.soil.enough is False


def test_it_is_data_for_other_programs_too() -> None:
    found, _ = advised(begun(3, REUSED), REUSED)
    data = as_json("ML-101", found)

    assert data["id"] == "ML-101"
    assert data["wet_mass"] == "rises"
    assert [point["number"] for point in data["points"]] == [1, 2, 3]
    assert data["soil"]["enough"] is True


def without_water(points: int) -> str:
    """Some points of which neither oven nor pan tells the water content."""
    return begun(points)


def test_wet_masses_alone_are_told_as_they_came_and_decide_nothing() -> None:
    # ML-102 as compacted: 3854, 3939, 4002, 4007, 3981 g.
    found, told = advised(without_water(4), SEPARATE)
    assert "In order of compaction, the wet mass still rose at point 4." in told
    assert (found.state.wet_mass, found.aim) == ("", None)

    found, told = advised(without_water(5), SEPARATE)
    assert "the wet mass was greatest at point 4: if each point was wetter" in told
    assert "No next point can be suggested before a point is dried" in told
    assert "Next point:" not in told


def test_specimens_made_are_counted_before_the_oven_tells_of_them() -> None:
    # ASTM D698 method A (from memory): about 5 lb each; one of four is wanting.
    _, told = advised(without_water(3), SEPARATE)

    assert "Still required: 1 more point" in told
    assert "4 specimens" not in told


@pytest.mark.parametrize(
    ("pan", "says"),
    [
        # 2.5 typed for 2.5 kg where the sheet is in g, or grams for kg; the mold of
        # ASTM D698 A holds 1/30 ft3, 944 cm3 (from memory).
        (0.0025, "Check the pan: 2.5 g of soil is not enough for the mold (94"),
        (2500.0, "Check the pan: 2500000 g of soil is too much for the mold (94"),
    ],
)
def test_a_pan_in_the_wrong_unit_is_doubted_before_the_amount(
    pan: float, says: str
) -> None:
    text, now = begun(2, pan=True), Weighed(pan=pan, water_content=10.0, aim=14.0)
    _, told = advised(text, SEPARATE, now)

    assert says in told
    assert "--pan is read in g, as the mold's masses." in told
    assert ("For 2.5 kg, give --pan 2500." in told) == (pan < 1)
    # By hand: 1000 g / 1.10 × 4 / 100 = 36.4 g for each kilogram.
    assert "Water to add: 36 mL for each kg of wet soil at 10.0 %" in told
    assert told.index("Check the pan") < told.index("Water to add")
    assert "NOT enough" not in told


def test_a_possible_pan_is_not_doubted() -> None:
    now = Weighed(pan=2.5, water_content=10.0)
    assert "Check the pan" not in advised(begun(2, pan=True), SEPARATE, now)[1]


@pytest.mark.parametrize("points", [0, 2, 5])
def test_pan_and_water_content_always_give_an_amount(points: int) -> None:
    # By hand: 2500 g / 1.10 = 2272.7 g of dry soil, of which each percent takes 22.7 g.
    text = begun(points, dry=True).replace("sample: ML-S2", "sample: ML-S9")
    _, told = advised(text, SEPARATE, Weighed(pan=2.5, water_content=10.0))

    if "Next point:" in told:
        assert "Water to add: " in told
        assert " mL, to 2.50 kg of soil (weighed now) at 10.0 %" in told
    else:
        assert "takes 23 mL in 2.50 kg of soil at 10.0 %" in told


def test_too_wet_a_pan_says_how_much_to_dry_from_it() -> None:
    # By hand: 2500 g / 1.20 × (14 - 20) / 100 = -125 g.
    now = Weighed(pan=2.5, water_content=20.0, aim=14.0)
    _, told = advised(begun(2, dry=True), SEPARATE, now)

    assert "dry this soil by 125 g, or 50 g for each kg." in told


def test_enough_or_not_is_said_only_of_what_was_weighed() -> None:
    # Nothing was weighed: 3 kg is what AASHTO T 99 asks for (from memory).
    found, told = advised(begun(0, REUSED), REUSED)
    assert found.soil.enough is None
    assert "Soil needed: 6.61 lb" in told

    # Compacted without the pan: nobody knows what is left.
    text = begun(3, REUSED, dry=True)
    for mass in ("6.60", "6.31", "6.14"):
        text = text.replace(f"specimen_mass: {mass}, ", "")
    found, told = advised(text, REUSED)
    assert found.soil.enough is None
    assert "enough" not in told


def test_soil_prepared_dry_is_not_said_to_lack_what_the_sample_has() -> None:
    text = begun(2, pan=True).replace("preparation: moist", "preparation: dry")
    _, told = advised(text, SEPARATE)

    assert "the soil was prepared dry" in told
    assert "enter the soil in the pan" not in told


def test_a_point_in_a_mold_not_weighed_empty_is_no_lack_of_a_class() -> None:
    text = begun(1).replace("mold_mass: 2001", "mold_mass:")
    _, told = advised(text, SEPARATE)

    assert "state the soil class" not in told
    assert "No next point can be suggested before a point is dried" in told
