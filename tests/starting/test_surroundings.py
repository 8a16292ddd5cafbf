"""What is known of a record that is not there yet."""

from collections.abc import Mapping
from decimal import Decimal

import pytest

from buildsite.archive.archive import Archive
from buildsite.archive.blanks import new_record, proposed_id
from buildsite.kinds.bench_spec import Bench, Part, Reading
from buildsite.record.reading import day
from buildsite.starting.surroundings import (
    Surroundings,
    with_resolution_comments,
    with_resolutions,
)
from tests.archives import changed, sound
from tests.kinds.making import LAB, PROJECT, SAMPLE, archive, kind

TEST = kind("moisture-density")


def known(found: Archive, about: str, told: Mapping[str, str]) -> dict[str, str]:
    return Surroundings(found).known(kind(about), told)


def test_what_the_archive_knows_is_offered() -> None:
    required = (
        "requirements:\n  - {zone: B, standard: {designation: AASHTO T 180, "
        "method: D, edition: '22'}}\n"
        "  - {zone: C, standard: {designation: X, method: Y}}\n"
    )
    found = archive({"records/p/project.yaml": PROJECT + required})

    told = known(found, "moisture-density", {})
    offered = {"project", "sample", "standard", "method", "edition"}
    assert {name: told[name] for name in offered} == {
        "project": "p",
        "sample": "S-1",
        "standard": "AASHTO T 180",
        "method": "D",
        "edition": "22",
    }
    # A method's letter means nothing under another standard.
    other = known(found, "moisture-density", {"standard": "ASTM D698"})
    assert {"standard", "method"}.isdisjoint(other)
    assert other["edition"] == "12(2021)"  # its own newest, not T 180's: its title page


def test_between_two_projects_none_is_offered() -> None:
    files = {
        "records/q/project.yaml": PROJECT.replace("id: p", "id: q"),
        "records/q/samples/S-9.yaml": SAMPLE,
    }

    assert "project" not in known(archive(files), "sample", {})
    told = known(archive(files), "moisture-density", {"project": "q"})
    assert told["sample"] == "S-9"


def test_an_unreadable_project_offers_nothing_and_does_not_stop() -> None:
    found = archive({"records/p/project.yaml": "kind: ["})

    assert "standard" not in known(found, "moisture-density", {})


def of_files(files: Mapping[str, bytes]) -> Archive:
    names = sorted(name for name in files if name.endswith(".yaml"))
    return Archive(names, dict(files).__getitem__)


def told_of(files: Mapping[str, bytes], **told: str) -> dict[str, str]:
    """What is known of a test under D698 A in March 2026, unless told otherwise."""
    asked = {
        "project": "marsh-lane",
        "standard": "ASTM D698",
        "method": "A",
        "on": "2026-03-20",
        "compacted_unit": "g",
        **told,
    }
    return {**known(of_files(files), "moisture-density", asked), **asked}


def test_the_sound_archive_gets_sound_new_records() -> None:
    told = told_of(sound())

    assert proposed_id(of_files(sound()), TEST, told) == "ML-103"
    assert told["sample"] == "ML-S2"


def test_a_test_is_filled_in_from_its_method_and_from_what_was_used_last() -> None:
    told = told_of(sound())

    # ASTM D698, 1.3.1: Method A, 4-in mold, passing No. 4, three layers, 25 blows.
    assert (told["processed_through"], told["layers"]) == ("No. 4", "3")
    assert told["blows_per_layer"] == "25"
    # ML-102 was the last under D698: its edition, its way of working.
    assert (told["edition"], told["preparation"]) == ("12(2021)", "moist")
    assert (told["specimens"], told["weighed_with"]) == ("separate", "mold")
    names = ("mold", "rammer", "balance", "moisture_balance", "oven", "sieve")
    assert [told[name] for name in names] == [
        *("M-04", "R-02", "B-11", "B-03", "O-01", "S-04")
    ]
    assert (told["operation"], told["face"]) == ("mechanical", "round")
    assert told["mold_mass"] == "2001"
    assert told["mold_mass_note"] == "as for ML-102: weigh it again"


@pytest.mark.parametrize(
    ("told", "silent"),
    [
        # Calibrated in January 2026, due again in January 2027.
        ({"on": "2027-06-01"}, ["mold", "rammer", "balance", "oven", "sieve"]),
        ({"on": "2026-01-02"}, ["mold", "rammer", "balance", "oven", "sieve"]),
        # Method C: a 6-in mold, and soil that passes 3/4 in (ASTM D698, 1.3.3).
        ({"method": "C"}, ["mold", "sieve", "mold_mass"]),
        # Modified effort: a 10-lb rammer (ASTM D1557).
        ({"standard": "ASTM D1557"}, ["rammer", "operation"]),
        ({"standard": "ASTM D9999"}, ["layers", "mold", "rammer"]),
        # ML-102 weighed the mold in grams.
        ({"compacted_unit": "kg"}, ["mold_mass"]),
    ],
)
def test_what_does_not_fit_is_left_blank(
    told: Mapping[str, str], silent: list[str]
) -> None:
    found = told_of(sound(), **told)

    assert [name for name in silent if found.get(name)] == []


def test_of_several_that_fit_and_were_never_used_none_is_chosen() -> None:
    files = dict(sound())
    for name in [name for name in files if "/tests/" in name]:
        del files[name]
    assert told_of(files)["mold"] == "M-04"
    files["records/equipment/M-05.yaml"] = files["records/equipment/M-04.yaml"].replace(
        b"id: M-04", b"id: M-05"
    )

    assert not told_of(files).get("mold")


def test_a_balance_that_cannot_carry_mold_and_soil_is_not_chosen() -> None:
    # The fine one reads to 0.01 g and carries 2.2 kg: mold and wet soil weigh 4 kg.
    files = changed({"equipment/B-11.yaml": None})

    assert not told_of(files).get("balance")
    assert told_of(files)["moisture_balance"] == "B-03"


def test_of_balances_never_used_the_mold_gets_the_coarsest_and_soil_the_finest() -> (
    None
):
    files = dict(sound())
    for name in [name for name in files if "/tests/" in name]:
        del files[name]
    fine = files["records/equipment/B-03.yaml"]
    strong = fine.replace(b"id: B-03", b"id: B-05").replace(b"2200", b"9000")
    files["records/equipment/B-05.yaml"] = strong.replace(b"ity: 0.01", b"ity: 0.1")

    told = told_of(files)

    assert (told["balance"], told["moisture_balance"]) == ("B-11", "B-03")


def test_the_laboratorys_usual_standard_is_offered_where_none_is_required() -> None:
    procedures = "procedures: {standards: [ASTM D2216, ASTM D1557]}\n"
    found = archive({"records/lab.yaml": LAB + procedures})

    told = known(found, "moisture-density", {})

    # ASTM D2216 is for water contents, and no compaction test is made by it.
    assert told["standard"] == "ASTM D1557"
    assert "standard" not in known(archive({}), "moisture-density", {})


def test_today_and_who_is_at_work_are_offered() -> None:
    about = Surroundings(of_files(sound()), day("2026-03-20"), "T07")

    told = about.known(TEST, {})

    assert (told["on"], told["by"]) == ("2026-03-20", "T07")
    # A certificate is seldom of today.
    assert "on" not in about.known(kind("oven"), {})


def test_only_the_latest_of_many_earlier_tests_are_read() -> None:
    files = dict(sound())
    data = files["records/marsh-lane/tests/ML-102.yaml"]
    for i in range(200, 260):
        one = data.replace(b"id: ML-102", b"id: ML-%d" % i)
        one = one.replace(b"2026-03-12", b"2025-01-%02d" % (i % 28 + 1))
        files[f"records/marsh-lane/tests/ML-{i}.yaml"] = one
    found = of_files(files)
    read: list[str] = []
    entry = found.entry

    def counted(file: str):  # type: ignore[no-untyped-def]  # noqa: ANN202
        read.append(file)
        return entry(file)

    found.entry = counted  # type: ignore[method-assign]
    about = Surroundings(found)
    about.known(TEST, {"project": "marsh-lane", "standard": "ASTM D698"})

    assert len({file for file in read if "/tests/" in file}) < 50


def test_resolutions_stand_above_their_fields() -> None:
    told = told_of(sound(), by="T07")
    text = with_resolutions(of_files(sound()), TEST, "ML-103", told).text

    # From memory: D698 weighs the mold to 1 g, D2216 containers to 0.1 g up to 200 g.
    lines = text.splitlines()
    mold = next(i for i, line in enumerate(lines) if line.startswith("mold_mass:"))
    assert lines[mold - 1].startswith("# mold_mass: to 1 g or finer (ASTM D698")
    points = lines.index("points:")
    assert lines[points - 2].startswith("# mold_and_wet_soil: to 1 g or finer (")
    assert lines[points - 1].startswith(
        "# container_mass, container_and_wet, container_and_dry: to 0.1 g or finer ("
    )


def test_resolutions_are_known_before_anybody_is_named() -> None:
    told = {**told_of(sound()), "by": ""}
    record = with_resolutions(of_files(sound()), TEST, "ML-103", told)

    assert "to 1 g or finer" in record.text
    assert "compacted: {on: 2026-03-20, by: }" in record.text


def test_without_a_bench_or_a_method_nothing_is_said() -> None:
    for about, told in ((kind("oven"), {}), (TEST, told_of(sound(), method="Z"))):
        record = with_resolutions(of_files(sound()), about, "N-1", told)

        assert record == new_record(about, "N-1", told)


def test_a_comment_goes_above_its_own_field_alone() -> None:
    reading = Reading("mass", "Mass", "g", Decimal("0.1"))
    parts = (Part("", (), (reading,)), Part("", ("oven",), (reading,)))

    text = with_resolution_comments(
        "oven: {mass: }\nmass:\nmass_of_it:\n", Bench(parts)
    )

    note = "# mass: to 0.1 g or finer\n"
    assert text == f"{note}oven: {{mass: }}\n{note}mass:\nmass_of_it:\n"


@pytest.mark.parametrize(
    ("usual", "offered"),
    [
        ("ASTM D698", ("ASTM D2216", "ASTM D854", "ASTM C127")),
        ("AASHTO T 99", ("AASHTO T 265", "AASHTO T 100", "AASHTO T 85")),
        ("BS 1377-4", (None, None, None)),  # no rows of its water content here
    ],
)
def test_who_compacts_by_a_publishers_standard_weighs_by_it_too(
    usual: str, offered: tuple[str | None, ...]
) -> None:
    # ASTM D698, section 2, and AASHTO T 99, section 2 (from memory), name these.
    lab = LAB + f"procedures: {{standards: [{usual}]}}\n"
    found = archive({"records/lab.yaml": lab})

    kinds = ("water-content", "specific-gravity", "coarse-fraction")
    told = [known(found, name, {}).get("standard") for name in kinds]
    assert tuple(told) == offered
    other = known(found, "water-content", {"standard": "AS 1289.2.1.1"})
    assert other.get("standard") in (None, "AS 1289.2.1.1")
