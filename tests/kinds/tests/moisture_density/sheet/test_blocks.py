"""The report of a compaction test, block by block."""

import pytest

from buildsite.kinds.sheet import Note, Sheet, Table
from buildsite.kinds.tests.moisture_density.sheet.curve import spread_sentence
from buildsite.soil.curves.spread import Spread
from tests.kinds.making import LAB, in_archive, made, text_of

POINTS = """\
units: {compacted: g, moisture: g, volume: cm3, density: kg/m3}
mold_volume: 1000
mold_mass: 2000
points:
  - {water_added_ml: 0, mold_and_wet_soil: 3900.0, container: "21",
     container_mass: 20.00, container_and_wet: 42.00, container_and_dry: 40.00}
  - {water_added_ml: 75, mold_and_wet_soil: 4016.0, container: "08",
     container_mass: 20.00, container_and_wet: 42.40, container_and_dry: 40.00}
  - {water_added_ml: 75, mold_and_wet_soil: 3995, container: "14",
     container_mass: 20.00, container_and_wet: 42.80, container_and_dry: 40.00}
"""
"""Water contents 10, 12, 14 %; wet 1900, 2016, 1995; dry 1727.3, 1800, 1750 kg/m³."""


def sheet(rest: str) -> Sheet:
    return made(text_of(rest)).sheet()


def cells(found: Table | None) -> list[list[str]]:
    assert found is not None
    return [[cell.text for cell in row.cells] for row in found.rows]


def facts(found: Table | None) -> dict[str, str]:
    return {row[0]: row[1] for row in cells(found)}


def note(found: Sheet, name: str) -> Note | None:
    notes = [block for block in found.blocks if isinstance(block, Note)]
    return next((block for block in notes if block.name == name), None)


def said(found: Sheet, name: str) -> str:
    block = note(found, name)
    assert block is not None
    return " ".join(block.paragraphs)


def test_points_are_shown_as_written_with_what_follows_from_them() -> None:
    own = "standard: {designation: Own 1, method: X}\n"
    table = sheet(own + POINTS).table("points")

    assert table is not None
    assert [column.key for column in table.columns] == [
        "point",
        "water_added_ml",
        "mold_and_wet_soil_g",
        "container",
        "water_content_percent",
        "wet_density_kg_m3",
        "dry_density_kg_m3",
    ]
    assert cells(table) == [
        ["1", "0", "3900.0", "21", "10.0", "1900", "1727"],
        ["2", "75", "4016.0", "08", "12.0", "2016", "1800"],
        ["3", "75", "3995", "14", "14.0", "1995", "1750"],
    ]
    assert table.note == ""
    assert [row.point for row in table.rows] == [1, 2, 3]


def test_columns_that_nobody_filled_are_left_out() -> None:
    table = sheet(
        "units: {density: kg/m3}\n"
        "points: [{dry_density: 1800, water_content: 12}, {}]\n"
    ).table("points")

    assert table is not None
    keys = [
        column.key.rpartition("_density")[0] or column.key for column in table.columns
    ]
    assert keys == ["point", "water_content_percent", "wet", "dry"]
    assert cells(table)[1] == ["2", "—", "—", "—"]


def test_transcribed_values_are_said_to_be() -> None:
    table = sheet(
        "units: {density: kg/m3}\npoints: [{dry_density: 1800, water_content: 12}]\n"
    ).table("points")

    assert table is not None
    assert table.note == (
        "Transcribed, not observed in this record: dry unit weight and water content."
    )


def test_every_column_of_every_table_has_its_cells() -> None:
    for rest in (POINTS, "points: []\n", "points: [{}]\n"):
        for block in sheet(rest).blocks:
            if isinstance(block, Table):
                widths = {len(row.cells) for row in block.rows}
                assert widths <= {len(block.columns)}, block.name


def test_results_are_shown_in_the_standards_word_and_two_units() -> None:
    table = sheet(POINTS).table("results")

    # ASTM D698 says unit weight; 1 lbf/ft³ weighs 0.157087 kN/m³.
    first, second = cells(table)
    assert first[0] == "Standard maximum dry unit weight"
    pounds, newtons = float(first[1].split()[0]), float(first[2].split()[0])
    assert first[1].endswith("lbf/ft³")
    assert first[2].endswith("kN/m³")
    assert newtons == pytest.approx(pounds * 0.157087, abs=0.02)
    assert second[0] == "Standard optimum water content"


def test_no_peak_is_said_with_its_reason() -> None:
    (row,) = cells(sheet("points: []\n").table("results"))

    assert row[0] == "No peak reported"
    assert row[1] == "There are no points."


def test_assumed_values_of_the_oversize_are_said() -> None:
    table = sheet(
        POINTS + "oversize: {percent_retained: 10, bulk_specific_gravity: 2.6}\n"
    ).table("results")

    assert table is not None
    assert table.note == "Assumed for the oversize: water content 2.0 %."


def test_the_method_is_stated_as_it_was_done() -> None:
    found = facts(
        sheet(
            POINTS + "standard: {designation: AASHTO T 99, edition: '22', method: A}\n"
            "preparation: dry\nlayers: 3\nblows_per_layer: 25\n"
            "dried_back: {to_water_content: 0, max_temperature_c: 60}\n"
            "rammer: {operation: manual, face: round}\n"
            "specific_gravity: {value: 2.69, basis: measured}\n"
            "oversize: {sieve: No. 4, percent_retained: 12.4}\n"
        ).table("method")
    )

    assert found["Standard"] == "AASHTO T 99-22, Method A"
    assert found["Compaction"] == "3 layers, 25 blows each"
    assert found["Dried back to"].startswith("0 %")
    assert found["Rammer"] == "manual, round face"
    assert found["Specific gravity"] == "2.69, measured; water at 20 °C"
    assert found["Oversize"] == "12.4 % retained on No. 4"
    assert "Variant" not in found


def test_a_year_is_no_part_of_a_designation() -> None:
    # BS 1377-4 of 1990 has parts of its own: BS 1377-4-1990 would read as one.
    used = "standard: {designation: BS 1377-4, edition: '1990', method: '3.3'}\n"

    assert sheet(POINTS + used).subtitle == "BS 1377-4 (1990), Method 3.3"


def test_all_that_the_correction_for_oversize_rests_on_is_stated() -> None:
    stones = "sieve: No. 4, percent_retained: 12.4, bulk_specific_gravity: 2.65"

    def stated(more: str) -> str:
        table = sheet(f"{POINTS}oversize: {{{stones}, {more}}}\n").table("method")
        return facts(table)["Oversize"]

    head = "12.4 % retained on No. 4, bulk specific gravity 2.65"
    assert stated("bulk_basis: oven-dry, absorption: 1.8, water_content: 1.1") == (
        f"{head} (oven-dry), water content 1.1 %"
    )
    assert stated("bulk_basis: SSD, absorption: 1.8, water_content: 1.1") == (
        f"{head} (SSD), absorption 1.8 %, water content 1.1 %"
    )


def test_what_nobody_stated_is_left_out_but_for_what_a_reader_looks_for() -> None:
    found = facts(sheet("points: []\n").table("method"))

    assert found["Specific gravity"] == "not stated"
    assert {"Preparation", "Compaction", "Rammer", "Oversize"}.isdisjoint(found)


def test_people_are_named_where_the_laboratory_prints_names() -> None:
    lab = {"records/lab.yaml": LAB.replace("T07: {", "T07: {name: A. Person, ")}
    reviewed = "reviewed: {on: 2026-03-13, by: E02}\nentered: {by: T07}\n"
    found = facts(in_archive(POINTS + reviewed, lab).sheet().table("acts"))

    assert found["Compacted"] == "2026-03-10, A. Person (T07)"
    assert found["Entered"] == "A. Person (T07)"
    assert found["Reviewed"] == "2026-03-13, E02"


def test_points_made_and_dried_by_themselves_are_shown_with_their_own_days() -> None:
    own = (
        "compacted: {on: 2026-03-12, by: E02}, dried: {on: 2026-03-13, by: T07}, "
        "oven: {in: 2026-03-12T15:00, out: 2026-03-13T08:00, temperature_c: 110}"
    )
    as_test = "compacted: {on: 2026-03-10, by: T07}"
    lines = f"points:\n  - {{{as_test}}}\n  - {{{own}}}\n  - {{{own}}}\n"
    found = facts(sheet(lines).table("acts"))

    assert found["Compacted"] == "2026-03-10, T07"
    assert found["Compacted, points 2, 3"] == "2026-03-12, E02"
    assert found["Dried, points 2, 3"] == "2026-03-13, T07"
    own_oven = "in 2026-03-12 15:00, out 2026-03-13 08:00, 110 °C"
    assert found["Oven, points 2, 3"] == own_oven
    assert "Compacted, point 1" not in found


def test_a_test_that_was_not_reviewed_says_so() -> None:
    assert facts(sheet(POINTS).table("acts"))["Reviewed"] == "Not reviewed"


def test_equipment_is_shown_with_the_calibration_that_held() -> None:
    molds = {
        "records/equipment/M-1.yaml": "kind: mold\nid: M-1\nnominal: 4 in\n"
        "calibrations:\n  - {on: 2026-01-01, next_due: 2027-01-01, volume: 943.6}\n"
        "  - {on: 2026-03-11, volume: 950}\n",
        "records/equipment/O-1.yaml": "kind: oven\nid: O-1\n",
    }
    rest = POINTS.replace("mold_volume: 1000\n", "equipment: {mold: M-1, oven: O-1}\n")
    table = in_archive(rest, molds).sheet().table("equipment")

    assert cells(table) == [
        ["Mold", "M-1", "4 in, 943.6 cm³ as certified", "2026-01-01", "2027-01-01"],
        ["Oven", "O-1", "—", "no calibration on file", "—"],
    ]


def test_a_lone_record_has_no_table_of_equipment() -> None:
    assert sheet(POINTS).table("equipment") is None


def test_other_forms_of_curve_are_compared_and_the_one_used_is_marked() -> None:
    table = sheet(POINTS).table("forms")
    assert table is not None
    used = [row.cells[0].text for row in table.rows if row.mark == "used"]
    assert len(used) == 1

    drawn = (
        "curve: {drawn: {maximum_dry_density: 1800, optimum_water_content: 12}, "
        "by: E02, reason: scatter}\n"
    )
    table = sheet(POINTS + drawn).table("forms")
    assert table is not None
    assert [row for row in table.rows if row.mark == "used"] == []


PEAKS = {
    "quadratic": (12.0, 1900.0),
    "cubic": (12.3, 1904.0),
    "natural-spline": (12.3, 1904.0),
    "modified-akima": (12.1, 1901.0),
}


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (["quadratic"], "Only one curve fits these points: they do not tell"),
        (["cubic", "natural-spline"], "Only one curve fits"),
        (
            ["quadratic", "cubic", "natural-spline"],
            "Only two curve types fit these points, too few to tell how far the result "
            "depends on the curve type: their maximum is 118.6 to 118.9 lbf/ft³, their "
            "optimum 12.0 to 12.3 %.",
        ),
        (
            ["quadratic", "cubic", "natural-spline", "modified-akima"],
            "Across the 3 curve types that fit these points, the maximum ranges from "
            "118.6 to 118.9 lbf/ft³, the optimum from 12.0 to 12.3 %.",
        ),
    ],
)
def test_the_sensitivity_says_how_many_curves_it_rests_on(
    names: list[str], words: str
) -> None:
    # 1900 and 1904 kg/m³ over 16.018463 (NIST SP 811): 118.61 and 118.86 lb/ft³.
    peaks = {name: PEAKS[name] for name in names}
    waters, densities = zip(*peaks.values(), strict=True)
    ends = (min(waters), max(waters)), (min(densities), max(densities))

    text = spread_sentence(made(text_of(POINTS)).case, Spread(peaks, {}, *ends))

    assert text.startswith(words)


@pytest.mark.parametrize("count", [0, 1, 2])
def test_too_few_points_have_no_forms_to_compare(count: int) -> None:
    points = "  - {water_content: 10, dry_density: 1760}\n" * count
    text = f"units: {{density: kg/m3}}\npoints:\n{points}" if count else "points: []\n"

    assert sheet(text).table("forms") is None


def test_sentences_say_what_a_reader_must_know() -> None:
    found = sheet(
        POINTS.replace(
            'container: "14"', 'container: "14", rejected: {by: E02, reason: torn}'
        )
        + 'remarks: "Wet for the season."\n'
        "deviations: [{clause: '5.2', what: soil reused, reason: too little, "
        "authorized_by: E02, customer_agreed_on: 2026-03-10}]\n"
        "external: {laboratory: Other, report: R 7}\n"
    )

    assert said(found, "rejected") == "Point 3 was rejected by E02: torn"
    assert said(found, "remarks") == "Wet for the season."
    assert said(found, "departures") == (
        "Clause 5.2: soil reused, too little, authorized by E02, "
        "agreed with the customer on 2026-03-10"
    )
    assert "Other, R 7" in said(found, "external")
    assert "apply only to the sample as received" in said(found, "statements")


def test_no_departure_is_stated_in_so_many_words() -> None:
    found = sheet(POINTS)

    assert said(found, "departures") == "None stated."
    for name in ("rejected", "remarks", "external", "withdrawn", "drawn"):
        assert note(found, name) is None


def test_a_withdrawn_test_says_so_first() -> None:
    text = text_of(POINTS + "withdrawn: {on: 2026-04-01, by: E02, reason: mixed up}\n")

    found = made(text.replace("status: complete", "status: withdrawn")).sheet()

    first = found.blocks[0]
    assert isinstance(first, Note)
    assert first.role == "banner"
    assert first.paragraphs == (
        "This test was withdrawn on 2026-04-01: mixed up. Do not use its result.",
    )


def test_a_withdrawn_test_shows_no_result_to_be_used() -> None:
    stands, gone = (
        made(text_of(POINTS).replace("status: complete", f"status: {status}")).sheet()
        for status in ("complete", "withdrawn")
    )

    def shown(sheet: Sheet) -> set[str]:
        return {block.name for block in sheet.blocks}

    assert {"results", "curve", "forms"} <= shown(stands)
    assert shown(stands) - shown(gone) == {"results", "curve", "forms"}
    assert {"points", "sample", "method"} <= shown(gone)


def test_invented_data_say_so() -> None:
    lab = {"records/lab.yaml": LAB + "invented: yes\n"}

    assert "invented" in said(in_archive(POINTS, lab).sheet(), "statements")
    assert "invented" not in said(in_archive(POINTS).sheet(), "statements")


def test_the_cautions_name_each_danger_and_the_rules_that_come_first() -> None:
    text = said(sheet("points: []\n"), "cautions").lower()

    for word in ("rammer", "oven", "dust", "lifting", "local rules"):
        assert word in text


def test_notes_of_the_laboratory_are_kept_from_what_leaves_it() -> None:
    outcome = made(text_of(POINTS))
    found = outcome.sheet()
    printed, own = found.table("flags"), found.table("notes")

    assert printed is not None
    assert own is not None
    assert own.laboratory_only
    assert not printed.laboratory_only
    severities = {flag.flag: str(flag.severity) for flag in outcome.flags}
    assert {severities[row.cells[0].text] for row in own.rows} == {"note"}
    assert "note" not in {severities[row.cells[0].text] for row in printed.rows}
    rows = [[cell.text for cell in row.cells] for row in (*own.rows, *printed.rows)]
    for flag in outcome.flags:  # each stands in one row, with what was found
        (row,) = (
            row for row in rows if row[0] == flag.flag and flag.expected in row[3]
        )
        assert flag.found.partition(" ")[0] in row[3]


def test_a_report_writes_a_mould_as_its_standard_does() -> None:
    used = "standard: {designation: BS 1377-4, method: '3.3'}\n"

    found = sheet(POINTS + used)

    table = found.table("points")
    assert table is not None
    assert "Mould and wet soil" in [column.label for column in table.columns]
    assert "turning mould" in str(found.blocks)
    assert "turning mold" not in str(found.blocks)
