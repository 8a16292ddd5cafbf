"""What a person reads of the past: names of fields, what was changed, what moved."""

from pathlib import Path

import pytest

from buildsite.archive.differences import FieldChange, field_changes
from buildsite.archive.edits import Edit
from buildsite.archive.field_names import spoken
from buildsite.build import build
from buildsite.pages.revisions.edit_words import effect_sentences
from buildsite.pages.site_sources import Options
from buildsite.record.commits import Commit
from tests.issuing.clones import edit, lab
from tests.pages.builds import words
from tests.test_build import contents
from tests.verify.tampering import issue

TEST, LAB = "records/p/tests/T-1.yaml", "records/lab.yaml"


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("reviewed.on", "reviewed on"),
        ("reviewed.by", "reviewed by"),
        ("gradation.retained_3_4_in", "gradation, retained on 3/4 in"),
        ("gradation.retained_3_8_in", "gradation, retained on 3/8 in"),
        ("gradation.retained_no_4", "gradation, retained on No. 4"),
        ("gradation.retained_31_5_mm", "gradation, retained on 31.5 mm"),
        (
            "specific_gravity.water_temperature_c",
            "specific gravity, water temperature",
        ),
        ("points[0].water_added_ml", "point 1, water added"),
        (
            "points[1].containers[0].container_mass",
            "point 2, container 1, container mass",
        ),
        ("accepted[1].reason", "accepted flag 2, reason"),
        (
            "calibrations[0].dimensions.diameters",
            "calibration 1, dimensions, diameters",
        ),
    ],
)
def test_a_field_is_named_as_the_trade_names_it(field: str, said: str) -> None:
    assert spoken(field) == said


def test_no_name_keeps_an_underscore_or_a_bracket() -> None:
    for field in ("a_b.c_d[3].e_f_c", "check_masses[2]", "staff.T07.may[0]"):
        assert not set(spoken(field)) & set("_[]"), field


OLD = {"calibrations": [{"on": "2026-01-14"}], "units": {"mass": "g", "length": "mm"}}
CALIBRATION = {
    "on": "2026-05-12",
    "mass": "2116",
    "water": {"full_with_plates": "4172.8", "temperature_c": "22"},
    "dimensions": {"diameters": ["101.64", "101.74"]},
}


def test_a_new_calibration_is_told_field_by_field_with_units() -> None:
    new = {**OLD, "calibrations": [*OLD["calibrations"], CALIBRATION]}
    rows = field_changes("records/equipment/M-02.yaml", OLD, new)

    assert [(spoken(one.field), one.old, one.new, one.unit) for one in rows] == [
        ("calibration 2, date", "", "2026-05-12", ""),
        ("calibration 2, mass", "", "2116", "g"),
        ("calibration 2, water, full with plates", "", "4172.8", "g"),
        ("calibration 2, water, temperature", "", "22", "°C"),
        ("calibration 2, dimensions, diameters", "", "101.64, 101.74", "mm"),
    ]


def test_a_calibration_that_left_is_told_likewise() -> None:
    new = {**OLD, "calibrations": [*OLD["calibrations"], CALIBRATION]}
    rows = list(field_changes("records/equipment/M-02.yaml", new, OLD))

    assert len(rows) == 5
    assert all(one.old and not one.new for one in rows)


def test_of_a_person_who_came_neither_name_nor_address_is_told() -> None:
    came = {"staff": {"T09": {"name": "A. Person", "emails": ["a@lab.example"]}}}

    rows = list(field_changes(LAB, {"staff": {}}, came))

    assert {one.new for one in rows} == {"not shown"}


def said(*fields: FieldChange) -> str:
    commit = Commit("a" * 40, (), "2026-03-13T12:00:00Z", "", "", "why")
    return next(effect_sentences(Edit(commit, "T07", "why", fields=fields, moved=True)))


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        (
            [FieldChange(TEST, "reviewed.on", "2026-03-13", "2026-03-14")],
            "Changed: review.",
        ),
        (
            [
                FieldChange(TEST, "reviewed.on", "", "2026-03-14"),
                FieldChange(TEST, "reviewed.by", "", "E02"),
            ],
            "Added: review.",
        ),
        (
            [FieldChange(LAB, "address", "", "14 Kiln Lane")],
            "Added: address of the laboratory.",
        ),
        (
            [
                FieldChange(
                    "records/p/samples/S-1.yaml",
                    "specific_gravity.value",
                    "2.7",
                    "2.74",
                )
            ],
            "Changed: specific gravity of S-1.",
        ),
        ([FieldChange(TEST, "accepted[0].flag", "", "x")], "Added: accepted flags."),
        ([], "Values used changed."),
    ],
)
def test_what_was_changed_is_said(fields: list[FieldChange], words: str) -> None:
    assert said(*fields) == f"{words} No reported result changed."


def box(root: Path, out: Path) -> str:
    """The box of what moved, on the page of the test."""
    build(root, out, Options(), jobs=1)
    page = words(contents(out)["tests/ML-101/index.html"])
    return page.partition(" since issue")[2].partition("Flags of the records")[0]


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "archive").mkdir()
    root = lab(tmp_path / "archive")
    issue(root, "ML-101", reason="first issue")
    return root


def test_the_box_says_what_was_issued_what_is_now_and_what_to_do(
    root: Path, tmp_path: Path
) -> None:
    name = "marsh-lane/tests/ML-101.yaml"
    edit(root, name, "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60")

    told = box(root, tmp_path / "site")

    first, _, rest = told.partition(" The records now give: ")
    assert first.startswith(
        " ML-101 r0, issued on 2026-03-13, reports: maximum dry density"
    )
    assert "optimum moisture content" in first
    assert rest.startswith("maximum dry density")
    assert "issue an amended report: `buildsite issue ML-101`" in rest
    assert "lb/ft³" in told
    for word in ("lb/ft3", "found", "expected", "_"):
        assert word not in told


def test_the_box_of_the_same_results_from_other_values(
    root: Path, tmp_path: Path
) -> None:
    edit(root, "marsh-lane/samples/ML-S1.yaml", "2.69", "2.71")

    told = box(root, tmp_path / "site")

    assert "Results unchanged; inputs changed since ML-101 r0, issued on" in told
    assert "buildsite issue ML-101" in told


def test_the_box_where_no_value_differs_asks_for_nothing(
    root: Path, tmp_path: Path
) -> None:
    edit(root, "marsh-lane/tests/ML-101.yaml", "layers: ", "# as before\nlayers: ")

    told = box(root, tmp_path / "site")

    assert "was changed; no value used changed." in told
    assert "No action needed" in told
    assert "buildsite" not in told


def test_the_box_never_asks_for_nothing_beside_a_wrong_calibration(
    root: Path, tmp_path: Path
) -> None:
    wrong = "state: as found, found_wrong: a torn cloth}"
    edit(root, "equipment/S-04.yaml", "state: as found}", wrong)

    build(root, tmp_path / "site", Options(), jobs=1)
    page = words(contents(tmp_path / "site")["tests/ML-101/index.html"])
    _, _, told = page.partition("Relied on equipment found wrong")

    assert "no action" not in page.casefold()
    assert "assess it, see its flag relied-on-wrong-calibration" in told
