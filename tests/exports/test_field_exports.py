"""CSV, JSON and GeoJSON of field tests: units, order, places, and nothing in-house."""

import codecs
import csv
import json
from io import StringIO
from typing import Any

import pytest

from buildsite.exports.field_csv import field_csv
from buildsite.exports.field_geojson import field_geojson
from buildsite.exports.field_json import field_json
from buildsite.kinds.field_control.closing import Closed
from buildsite.kinds.field_control.results import FieldTest
from tests.pages.field.fills import field_one

GEOGRAPHIC = {"latitude": "51.4779", "longitude": "-0.0015"}


def rows(*tests: FieldTest, closed: dict[str, Closed] | None = None) -> list[Any]:
    data = field_csv(tests, closed or {}).decode("utf-8-sig")
    return list(csv.DictReader(StringIO(data)))


def geometries(*tests: FieldTest) -> list[Any]:
    collection = json.loads(field_geojson(tests, {}))
    assert collection["type"] == "FeatureCollection"
    return [feature["geometry"] for feature in collection["features"]]


def test_csv_has_units_in_its_headers() -> None:
    (row,) = rows(field_one("F1", percent=97.2, water=17.5))

    # 0.972 × 108.0 lb/ft³ × 16.018463 kg/m³ (NIST SP 811, B.8) = 1681.554 kg/m³.
    assert float(row["dry_density_kg_m3"]) == pytest.approx(1681.55, abs=0.01)
    assert row["dry_density_reported"] == "105.0 lb/ft3"
    assert row["water_content_percent"] == "17.5"
    assert row["percent_compaction_percent"] == "97.2"
    assert (row["station"], row["offset"], row["side"]) == ("12+40", "3.2", "left")
    assert row["judged_by"] == "HF-0117 r2"


def test_csv_tells_what_closed_a_failure() -> None:
    found = rows(field_one("F1", verdict="fail"), closed={"F1": Closed(by="F2")})

    assert (found[0]["verdict"], found[0]["closed_by"]) == ("fail", "F2")


def test_no_text_becomes_a_formula() -> None:
    (row,) = rows(field_one("F1", zone="=1+1"))

    assert row["zone"] == "'=1+1"


def test_csv_without_tests_is_a_header() -> None:
    assert field_csv([], {}) == codecs.BOM_UTF8 + b"test\n"


def test_json_has_every_test_in_order() -> None:
    told = json.loads(
        field_json([field_one("F1"), field_one("F2")], {"F1": Closed(by="F2")})
    )

    assert [one["id"] for one in told["tests"]] == ["F1", "F2"]
    assert told["tests"][0]["closed_by"] == "F2"
    assert told["tests"][0]["acceptance"]["criteria"][0]["limit"] == "95"


def test_longitude_comes_first() -> None:
    """RFC 7946, 3.1.1: longitude and latitude, precisely in that order."""
    found = geometries(field_one("F1", position=GEOGRAPHIC))

    assert found == [{"type": "Point", "coordinates": [-0.0015, 51.4779]}]


@pytest.mark.parametrize(
    "position",
    [
        {"station": "12+40", "offset": "3.2"},
        {"easting": "538900.1", "northing": "177300.2", "grid": "site grid"},
        {"latitude": "51.4779"},
        {"latitude": "91", "longitude": "0"},
        {"latitude": "0", "longitude": "-181"},
        {"latitude": "north", "longitude": "0"},
    ],
)
def test_what_is_no_geographic_position_has_no_geometry(position: Any) -> None:
    """RFC 7946, 3.2: an unlocated feature has a null geometry; 4: WGS 84 degrees."""
    data = json.loads(field_geojson([field_one("F1", position=position)], {}))

    (feature,) = data["features"]
    assert feature["geometry"] is None
    assert feature["properties"]["position"] == position


def test_answers_beside_the_position_give_the_point() -> None:
    (found,) = geometries(field_one("F1", position={}, coordinates=GEOGRAPHIC))

    assert found["coordinates"] == [-0.0015, 51.4779]
