"""
The field tests of a project as GeoJSON (RFC 7946).

Coordinates there are longitude and latitude on WGS 84, so a position by station or in
a grid has no geometry: it stands among the properties.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from buildsite.exports.field_json import field_object, words_of
from buildsite.exports.result_json import as_json
from buildsite.kinds.field_control.closing import Closed
from buildsite.kinds.field_control.results import FieldTest, number


def geometry(test: FieldTest) -> dict[str, Any] | None:
    """
    Return the point of a test with geographic coordinates, else None.

    Longitude comes first (RFC 7946, 3.1.1). An elevation of the works is no height
    above the ellipsoid, so it is not the third.
    """
    told = {**dict(test.position), **dict(test.coordinates)}
    latitude = number(told.get("latitude", ""))
    longitude = number(told.get("longitude", ""))
    if latitude is None or longitude is None:
        return None
    if abs(latitude) > 90 or abs(longitude) > 180:
        return None
    return {"type": "Point", "coordinates": [float(longitude), float(latitude)]}


def field_geojson(tests: Sequence[FieldTest], closed: Mapping[str, Closed]) -> bytes:
    """Return the field tests as a collection of features."""
    features = [
        {
            "type": "Feature",
            "id": test.id,
            "geometry": geometry(test),
            "properties": field_object(test, words_of(closed, test)),
        }
        for test in tests
    ]
    return as_json({"type": "FeatureCollection", "features": features})
