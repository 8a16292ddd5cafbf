"""A number about new equipment may be typed with its unit; the record keeps it so."""

from collections.abc import Mapping
from pathlib import Path

import pytest

from buildsite.kinds import kind_named
from buildsite.starting.typed_units import with_unit_taken, worded
from tests.archives import sound
from tests.cli.running import run
from tests.clones import write


def taken(kind: str, answers: Mapping[str, str], name: str) -> dict[str, str]:
    found = kind_named(kind)
    assert found is not None
    return with_unit_taken(found, answers, name)


@pytest.mark.parametrize(
    ("name", "typed", "digits", "place", "unit"),
    [
        ("mass", "4.41 lb", "4.41", "mass_unit", "lb"),
        ("mass", "4.41lbs", "4.41", "mass_unit", "lb"),
        ("mass", "2.001 KG", "2.001", "mass_unit", "kg"),
        ("volume", "0.0333 ft3", "0.0333", "volume_unit", "ft3"),
        ("volume", "0.0333 cu ft", "0.0333", "volume_unit", "ft3"),
        ("volume", "0.0333 ft³", "0.0333", "volume_unit", "ft3"),
        ("volume", "943.2 cc", "943.2", "volume_unit", "cm3"),
        ("volume", "0.943 L", "0.943", "volume_unit", "L"),
        ("heights", "4.584 4.585 4.584 in.", "4.584 4.585 4.584", "length_unit", "in"),
        ("heights", '4.584 4.585 4.584"', "4.584 4.585 4.584", "length_unit", "in"),
    ],
)
def test_a_unit_behind_a_number_is_the_records(
    name: str, typed: str, digits: str, place: str, unit: str
) -> None:
    found = taken("mold", {name: typed}, name)
    assert (found[name], found[place]) == (digits, unit)


@pytest.mark.parametrize("typed", ["943.2", "", "943,2", "no. 4", "4.41 stone"])
def test_what_has_no_known_unit_stays_as_typed(typed: str) -> None:
    assert taken("mold", {"volume": typed}, "volume") == {"volume": typed}


def test_a_size_keeps_its_unit_in_its_name() -> None:
    assert taken("mold", {"nominal": "4 in"}, "nominal") == {"nominal": "4 in"}


def test_a_unit_of_another_quantity_is_refused_with_those_of_this() -> None:
    with pytest.raises(ValueError, match=r"no unit of mass: g, kg or lb"):
        taken("mold", {"mass": "4.41 ft3"}, "mass")


def test_two_units_of_one_quantity_are_refused_and_one_alone_may_be_typed_again() -> (
    None
):
    before = {"mass": "4.41", "mass_unit": "lb"}
    with pytest.raises(ValueError, match=r"mass is in lb; .* type it in lb"):
        taken("mold", before | {"empty_with_plates": "3110 g"}, "empty_with_plates")
    assert taken("mold", before | {"mass": "2001 g"}, "mass")["mass_unit"] == "g"
    plain = {"mass": "2001"}
    with pytest.raises(ValueError, match=r"mass is in g"):
        taken("mold", plain | {"empty_with_plates": "6.8 lb"}, "empty_with_plates")


def test_the_next_question_is_put_in_the_unit_that_was_typed() -> None:
    kind = kind_named("mold")
    assert kind is not None
    assert kind.blank is not None
    words = {ask.name: worded(ask, {"mass_unit": "lb"}) for ask in kind.blank.asks}
    assert words["empty_with_plates"].startswith("By water: mold with plates, empty ")
    assert "in lb" in words["empty_with_plates"]
    assert "cm³" in words["volume"]


# A nominal 4 in mold of 1/30 ft³ (0.0333 ft³): 0.0333 * 28 316.85 = 942.95 cm³, the
# cubic foot being 0.3048³ m³ exactly.
def test_a_mold_in_pounds_and_cubic_feet_is_computed_in_si(tmp_path: Path) -> None:
    root = write(tmp_path, sound())
    words = ("--mass", "4.41 lb", "--volume", "0.0333 ft3", "--on", "2026-01-14")
    ran = run("new", "mold", *words, "--defaults", "--root", root)

    assert ran.status == 0, ran.err
    text = (root / ran.out.strip()).read_text("utf-8")
    assert "units: {mass: lb, length: mm, volume: ft3}" in text
    assert "mass: 4.41, volume: 0.0333," in text
    shown = run("show", "M-05", "--root", root)
    assert "943.0" in shown.out


@pytest.mark.parametrize(
    ("kind", "words", "lines"),
    [
        (
            "rammer",
            ("--mass", "5.5 lb", "--drop", "12 in", "--face-diameter", "2.00 in"),
            ("units: {mass: lb, length: in}", "mass: 5.5, drop: 12, face_"),
        ),
        (
            "balance",
            ("--readability", "0.01 lb", "--capacity", "35 lb"),
            ("units: {mass: lb, length: mm}", "readability: 0.01\ncapacity: 35\n"),
        ),
    ],
)
def test_a_rammer_and_a_balance_too(
    tmp_path: Path, kind: str, words: tuple[str, ...], lines: tuple[str, ...]
) -> None:
    root = write(tmp_path, sound())
    ran = run("new", kind, *words, "--on", "2026-01-14", "--defaults", "--root", root)

    assert ran.status == 0, ran.err
    text = (root / ran.out.strip()).read_text("utf-8")
    for line in lines:
        assert line in text


def test_a_number_that_no_method_has_is_doubted(tmp_path: Path) -> None:
    root = write(tmp_path, sound())
    answers = ("", "", "5.5", "5.5 lb", "12", "12 in", "2026-01-14", "", "", "", "")
    text = "".join(f"{one}\n" for one in answers)
    ran = run("new", "rammer", "--root", root, stdin=text.encode())

    assert "? 5.5 g; expected: 2495, 2500," in ran.err
    assert "? 12 mm; expected:" in ran.err
    assert ran.status == 0, ran.err
