"""Where a field test was made, in words and as coordinates."""

from typing import Any

COORDINATES = ("latitude", "longitude", "easting", "northing", "grid")
"""Fields of a position that are coordinates."""


def offset_words(position: Any, unit: str) -> str:
    """Return offset and side: 3.2 m left."""
    if position.side == "centerline":
        return "centerline"
    if position.offset is None:
        return position.side or ""
    return " ".join(filter(None, (f"{position.offset} {unit}".rstrip(), position.side)))


def position_words(record: Any) -> str:
    """Return the position in words: station 12+40, 3.2 m left, elevation 101.2 m."""
    position = record.position
    if position is None:
        return ""
    unit = record.units.position or ""
    parts = [
        f"station {position.station}" if position.station else "",
        offset_words(position, unit),
    ]
    if position.easting is not None and position.northing is not None:
        grid = f", grid {position.grid}" if position.grid else ""
        parts.append(f"{position.easting} E, {position.northing} N{grid}")
    if position.latitude is not None and position.longitude is not None:
        parts.append(f"{position.latitude}°, {position.longitude}°")
    if position.elevation is not None:
        parts.append(f"elevation {position.elevation} {unit}".rstrip())
    if position.depth_below_grade is not None:
        parts.append(f"{position.depth_below_grade} {unit} below grade")
    return ", ".join(filter(None, parts))


def place_words(record: Any) -> str:
    """Return zone, lift and position in words."""
    parts = (
        f"zone {record.zone}" if record.zone else "",
        f"lift {record.lift}" if record.lift else "",
        position_words(record),
    )
    return ", ".join(filter(None, parts))


def position_texts(record: Any) -> dict[str, str]:
    """Return the position as texts by field, as written, with its unit."""
    position = record.position
    if position is None:
        return {}
    fields = type(position).model_fields
    found = {name: getattr(position, name) for name in fields}
    texts = {name: str(value) for name, value in found.items() if value is not None}
    unit = record.units.position
    return {**texts, "unit": unit} if texts and unit else texts


def coordinates(record: Any) -> dict[str, str]:
    """Return the coordinates of a position as texts, as written."""
    texts = position_texts(record)
    return {name: texts[name] for name in COORDINATES if name in texts}
