"""results.csv, results.json, datapackage.json: columns, numbers, nothing lost."""

import csv
import json
import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from buildsite.exports.datapackage import datapackage
from buildsite.exports.results import GOVERNING, Figure, Raised, ResultRow
from buildsite.exports.results_columns import columns, reports
from buildsite.exports.results_csv import results_csv
from buildsite.exports.results_json import results_json
from buildsite.kinds import all_kinds

PEAK = (
    Figure("maximum_dry_density", 1944.7, "kg/m3", "121.0 lb/ft3", "maximum density"),
    Figure("optimum_water_content", 12.31, "%", "12.3 %", "optimum"),
)
WHOLE = (
    Figure("corrected_maximum_dry_density", 2010.0, "kg/m3", "125.5 lb/ft3", "whole"),
    Figure("corrected_optimum_water_content", 11.4, "%", "11.4 %", "whole water"),
)
ONE = ResultRow(
    id="HF-1",
    revision=2,
    status="issued",
    kind="moisture-density",
    project="heron-flats",
    issued=date(2026, 3, 13),
    tested=date(2026, 3, 11),
    soil="Sandige Böden, grün",
    soil_class="CL",
    standard="AASHTO T 99",
    edition="22",
    method="A",
    results=(*PEAK, *WHOLE),
    governing=tuple(one.name for one in WHOLE),
    flags=(Raised("oversize-a", "warning"), Raised("oversize-b", "warning", True)),
    address="tests/HF-1/index.html",
)


def rows(*found: ResultRow, base: str = "") -> list[dict[str, str]]:
    text = results_csv(found, base).decode("utf-8-sig")
    return list(csv.DictReader(StringIO(text, newline="")))


def row(**parts: Any) -> dict[str, str]:
    about = {"id": "T", "revision": None, "status": "not issued", "kind": "", **parts}
    (found,) = rows(ResultRow(project=about.pop("project", "p"), **about))
    return found


def test_a_number_stands_as_reported_with_its_unit_and_unrounded() -> None:
    (found,) = rows(ONE)

    assert found["maximum_dry_density"] == "121.0"
    assert found["maximum_dry_density_unit"] == "lb/ft3"
    assert found["maximum_dry_density_kg_m3"] == "1944.7"
    assert found["optimum_water_content_percent"] == "12.31"


def test_the_pair_that_field_tests_are_judged_by_has_columns_of_its_own() -> None:
    (found,) = rows(ONE)

    assert found["governing_maximum_dry_density"] == "125.5"
    assert found["governing_maximum_dry_density_unit"] == "lb/ft3"
    assert found["governing_maximum_dry_density_kg_m3"] == "2010"
    assert found["governing_optimum_water_content"] == "11.4"
    assert found["governing"].startswith("corrected_maximum_dry_density; ")


def test_terms_stand_in_the_order_of_the_columns() -> None:
    assert rows(ONE)[0]["terms"] == "maximum density; optimum; whole; whole water"


def test_an_accepted_flag_says_so() -> None:
    assert rows(ONE)[0]["flags"] == "oversize-a; oversize-b (accepted)"


def test_a_spreadsheet_reads_accents_and_dates() -> None:
    data = results_csv([ONE])

    assert data.startswith(b"\xef\xbb\xbfid,revision,")  # UTF-8's byte order mark
    assert "grün".encode() in data
    assert b"\r" not in data
    assert rows(ONE)[0]["issued"] == "2026-03-13"  # ISO 8601


@pytest.mark.parametrize(
    ("id", "text"), [("1E3", "no. 1E3"), ("0012", "no. 0012"), ("=A1", "'=A1")]
)
def test_an_id_stays_an_id(id: str, text: str) -> None:
    assert row(id=id)["id"] == text


def test_what_is_not_known_is_blank() -> None:
    found = row()

    assert found["revision"] == found["tested"] == found["maximum_dry_density"] == ""


@pytest.mark.parametrize(
    ("base", "address"),
    [
        ("", "tests/HF-1/index.html"),
        ("https://lab.example/soil/", "https://lab.example/soil/tests/HF-1/"),
    ],
)
def test_the_address_is_full_where_the_site_is_known(base: str, address: str) -> None:
    assert rows(ONE, base=base)[0]["address"] == address
    told = json.loads(results_json([ONE], "Lab", base))
    assert told["results"][0]["address"] == address


def test_json_has_places_and_units_and_leaves_out_what_is_not_stated() -> None:
    told = json.loads(
        results_json([ONE, ResultRow("T", None, "not issued", "", "p")], "L")
    )

    first, second = told["results"]
    assert first["results"]["maximum_dry_density"] == {
        "value": 1944.7,
        "unit": "kg/m3",
        "reported": "121.0 lb/ft3",
        "term": "maximum density",
    }
    assert first["soil"] == {"name": "Sandige Böden, grün", "class": "CL"}
    assert first["issued"] == "2026-03-13"
    assert "soil" not in second
    assert "verdict" not in second
    assert second["revision"] is None


def test_a_sign_is_no_part_of_a_number() -> None:
    over = Figure("water_content_deviation", 0.63, "points", "+0.6 points", "deviation")
    under = Figure(
        "water_content_deviation", -0.7, "points", "-0.7 points", "deviation"
    )

    assert row(results=(over,))["water_content_deviation"] == "0.6"
    assert row(results=(under,))["water_content_deviation"] == "-0.7"


def test_columns_have_one_name_each_and_it_is_a_plain_word() -> None:
    names = [column.name for column in columns()]

    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in names)


def test_every_result_of_every_kind_of_test_has_columns() -> None:
    told = dict(reports())
    for kind in all_kinds():
        for name, unit in kind.reports:
            assert told[name] == unit


TYPES: dict[str, Callable[[str], object]] = {
    # Table Schema, 4.2 "Types and Formats" (specs.frictionlessdata.io/table-schema).
    "string": str,
    "integer": int,
    "number": Decimal,
    "date": date.fromisoformat,
}


def check_by_hand(folder: Path) -> int:
    """Read every cell of results.csv by its field of datapackage.json; count them."""
    package = json.loads((folder / "datapackage.json").read_bytes())
    (resource,) = package["resources"]
    data = (folder / resource["path"]).read_bytes()
    assert len(data) == resource["bytes"]
    head, *lines = csv.reader(StringIO(data.decode("utf-8-sig"), newline=""))
    fields = resource["schema"]["fields"]
    assert head == [field["name"] for field in fields]
    read = 0
    for line in lines:
        for field, text in zip(fields, line, strict=True):
            limits = field.get("constraints", {})
            if text:
                TYPES[field["type"]](text)
                assert text in limits.get("enum", [text])
                read += 1
            assert text or not limits.get("required")
    ids = [line[0] for line in lines]
    assert len(set(ids)) == len(ids)
    return read


def test_every_cell_of_the_demo_is_of_its_type(site: Path) -> None:
    assert check_by_hand(site) > 1000
    for folder in sorted((site / "projects").iterdir()):
        assert check_by_hand(folder) > 100


def test_another_program_reads_the_package(site: Path) -> None:
    """By the library of those who keep the standard of Data Packages."""
    frictionless = pytest.importorskip("frictionless")
    for place in (site, *sorted((site / "projects").iterdir())):
        report = frictionless.validate(str(place / "datapackage.json"))
        assert report.valid, report.to_summary()


def test_another_program_sees_what_is_wrong(tmp_path: Path) -> None:
    frictionless = pytest.importorskip("frictionless")
    data = results_csv([ONE]).replace(b"2026-03-13", b"13 March")
    (tmp_path / "results.csv").write_bytes(data)
    (tmp_path / "datapackage.json").write_bytes(datapackage("T", "t", data))

    assert not frictionless.validate(str(tmp_path / "datapackage.json")).valid


def test_the_site_has_a_row_for_each_test_and_each_project_its_own(site: Path) -> None:
    whole = json.loads((site / "results.json").read_bytes())["results"]
    parts = [
        one
        for folder in sorted((site / "projects").iterdir())
        for one in json.loads((folder / "results.json").read_bytes())["results"]
    ]

    assert parts == whole
    tests = {path.name for path in (site / "tests").iterdir() if path.is_dir()}
    papers = {
        path.parent.name
        for path in sorted((site / "tests").glob("*/result.json"))
        if json.loads(path.read_bytes())["kind"] in ("lift-acceptance", "daily-report")
    }
    assert papers
    assert {one["id"] for one in whole} == tests - papers


def test_a_row_says_what_the_result_of_the_test_says(site: Path) -> None:
    for one in json.loads((site / "results.json").read_bytes())["results"]:
        path = site / "tests" / one["id"] / "result.json"
        told = json.loads(path.read_bytes()) if path.exists() else {"results": {}}
        for name, figure in one["results"].items():
            assert figure["reported"] == told["results"][name]["reported"]
            assert figure["value"] == told["results"][name]["value"]
        if one["status"] != "withdrawn":
            assert one["results"].keys() == told["results"].keys()
            assert one.get("tested") == told.get("tested", one.get("tested"))
        else:
            assert one["results"] == {}


def test_the_first_page_and_a_project_link_their_files(site: Path) -> None:
    pages = (site / "index.html", *sorted((site / "projects").glob("*/index.html")))
    for page in pages:
        text = page.read_text("utf-8")
        for name in ("results.csv", "results.json", "datapackage.json", "feed.xml"):
            assert f'<a href="{name}">' in text
            assert (page.parent / name).exists()
        # Also at the head of the page: a phone need not scroll to its end.
        head = text.partition('class="beside"')[2].partition("</nav>")[0]
        assert '<a href="results.csv">' in head


GUIDE = (Path(__file__).parents[2] / "docs/data.md").read_text("utf-8")


def test_the_guide_names_every_column() -> None:
    named = set(re.findall(r"`([a-z0-9_]+)`", GUIDE))
    ends = ("_unit", "_kg_m3", "_percent", "_points", "_m3", "_unrounded")
    results = {f"governing_{one}" for one in GOVERNING} | {one for one, _ in reports()}
    for column in columns():
        lead = next(
            (
                column.name.removesuffix(end)
                for end in ends
                if column.name.endswith(end)
            ),
            column.name,
        )
        assert column.name in named or lead in results & named, column.name


def test_the_guide_says_in_what_each_result_is_unrounded() -> None:
    rows = re.findall(r"^\| (`[^|]*) \| [^|]*\(`_([a-z0-9_]+)`\) \|$", GUIDE, re.M)
    told = {
        f"{name}_{end}" for names, end in rows for name in re.findall(r"`(\w+)`", names)
    }

    assert told == {
        column.name
        for column in columns()
        if column.about.endswith(", unrounded") and "governing" not in column.name
    }
