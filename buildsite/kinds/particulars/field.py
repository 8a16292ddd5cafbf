"""The particulars of work on a fill: place, works, what came of a failure."""

from buildsite.kinds.particulars.asking import choice, number, part, text

FIELD = (
    (
        "purpose",
        part(
            "Purpose",
            (),
            choice(
                "purpose",
                "Purpose",
                ("acceptance", "contractor-control", "assurance", "information"),
            ),
        ),
    ),
    (
        "position",
        part(
            "Position",
            ("position",),
            text("station", "Station"),
            number("offset", "Offset"),
            choice("side", "Side", ("left", "right", "centerline")),
            number("elevation", "Elevation"),
            number("depth_below_grade", "Depth below grade"),
            number("easting", "Easting"),
            number("northing", "Northing"),
            text("grid", "Grid"),
            number("latitude", "Latitude, degrees"),
            number("longitude", "Longitude, degrees"),
        ),
    ),
    (
        "works",
        part(
            "Works",
            ("works",),
            number("thickness_loose", "Thickness of the lift, loose"),
            number("thickness_compacted", "Thickness of the lift, compacted"),
            text("roller", "Roller"),
            number("passes", "Passes"),
            text("weather", "Weather"),
            text("source", "Source of the soil"),
        ),
    ),
    (
        "reference_basis",
        part(
            "Reference",
            (),
            text("reference", "Reference: compaction test or one-point"),
            choice(
                "reference_basis",
                "Matched by",
                ("one-point", "visual match", "source"),
            ),
            text("reference_by", "Matched by whom", "code"),
        ),
    ),
    (
        "retest_of",
        part(
            "Retest",
            (),
            text("retest_of", "Retest of, after rework"),
            text("rework.what", "Rework: what was done"),
            text("rework.on", "Rework on", "day"),
            text("rework.by", "Rework by"),
            text("check_of", "Check of, without rework"),
        ),
    ),
    (
        "disposition",
        part(
            "Disposition of a failure",
            ("disposition",),
            choice("as", "Disposed of as", ("removed", "accepted-as-is")),
            text("document", "By which document"),
            text("by", "By whom"),
            text("on", "On", "day"),
        ),
    ),
    (
        "surface",
        part(
            "Rough ground",
            ("surface",),
            number("before", "Apparatus and sand, before the surface was filled"),
            number("after", "Apparatus and sand, after the surface was filled"),
        ),
    ),
    (
        "gauge",
        part(
            "Offset of a gauge",
            ("gauge", "offset"),
            number("value", "Offset of the water for this soil"),
            choice("applied", "Applied", ("in-gauge", "here")),
            text("soil", "The soil it was found for"),
        ),
    ),
    (
        "family",
        part(
            "Curves",
            (),
            text("family", "Family of curves"),
            text("reference", "Reference curve, a single test"),
        ),
    ),
    (
        "coarse",
        part(
            "Coarse fraction",
            ("coarse",),
            text("sieve", "Split on sieve", "sieve"),
            number("wet_retained", "Moist soil retained"),
            number("wet_passing", "Moist soil passing"),
            number("percent_retained", "Retained by dry mass", "%"),
            number("water_retained", "Water content of the retained", "%"),
            number("water_passing", "Water content of the passing", "%"),
            number("specific_gravity.value", "Bulk specific gravity of the retained"),
            choice("specific_gravity.basis", "Basis", ("oven-dry", "SSD")),
            number("specific_gravity.absorption", "Absorption of the retained", "%"),
        ),
    ),
)
"""Parts of the kinds that have such a field, by the field."""
