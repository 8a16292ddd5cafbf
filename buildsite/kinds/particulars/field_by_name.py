"""Particulars of a test on a fill that are asked by name alone."""

from typing import get_args

from buildsite.kinds.bench_spec import Part, Reading
from buildsite.kinds.particulars.asking import choice, number, part, text
from buildsite.record.units import DensityUnit

APPARATUS = ("sand-cone", "drive-cylinder", "nuclear-gauge", "balloon")
DENSITIES = get_args(DensityUnit)
EFFECT = ("rounded", "absolute")
YES_NO = ("no", "yes")
CONTAINER = (
    text("container", "Container no."),
    number("container_mass", "Empty container"),
    number("container_and_wet", "Container and wet soil"),
    number("container_and_dry", "Container and dry soil"),
)
REJECTED = text("rejected", "Rejected, because (blank: it counts)", "rejection")


def lines(title: str, at: tuple[str, ...], word: str, *readings: Reading) -> Part:
    """Return a part about the lines of a list."""
    return Part(title, at, readings, times=0, once=False, line=word)


BY_NAME = (
    (
        "apparatus",
        part(
            "Apparatus",
            (),
            choice("apparatus", "Apparatus", APPARATUS),
            text("equipment.sand_cone", "Sand cone"),
            text("equipment.cylinder", "Drive cylinder"),
            text("equipment.gauge", "Gauge"),
            text("equipment.balloon", "Balloon apparatus"),
            text("equipment.sieve", "Sieve"),
        ),
    ),
    (
        "soil",
        part(
            "Soil seen",
            ("soil",),
            text("name", "Soil, as seen at the place"),
            text("class", "Its class"),
        ),
    ),
    (
        "wet_soil",
        part(
            "Soil dug out",
            (),
            number("container_mass", "Container for the soil"),
            number("container_and_wet_soil", "Container and wet soil"),
            number("wet_density", "Wet density, transcribed"),
            number("dry_density", "Dry density, transcribed"),
        ),
    ),
    (
        "cylinder_specimen",
        part(
            "Drive cylinder",
            (),
            number("cylinder_mass", "Empty cylinder"),
            number("cylinder_and_wet_soil", "Cylinder and wet soil"),
            choice("cylinder_specimen.recovery", "Filled", ("full", "short")),
            choice("cylinder_specimen.ends", "Ends", ("sound", "disturbed")),
            choice(
                "cylinder_specimen.soil", "Soil", ("cohesive", "friable", "very hard")
            ),
        ),
    ),
    (
        "volume_before",
        part(
            "Balloon",
            (),
            number("volume_before", "Volume reading on the surface"),
            number("volume_after", "Volume reading in the hole"),
            number("pressure", "Pressure", "kPa"),
        ),
    ),
    (
        "gauge",
        part(
            "Gauge",
            ("gauge",),
            choice("mode", "Mode", ("direct", "backscatter")),
            number("depth", "Depth of the rod"),
            number("standard_counts.density", "Standard count, density"),
            number("standard_counts.water", "Standard count, water"),
            choice("near_wall", "Within 0.6 m of a wall or trench face", YES_NO),
            number("trench_count", "Trench count"),
            choice("offset.unit", "Unit of the offset", (*DENSITIES, "%")),
        ),
    ),
    (
        "gauge",
        lines(
            "Gauge readings",
            ("gauge", "readings"),
            "Reading",
            number("wet_density", "Wet density"),
            number("water", "Water"),
            REJECTED,
        ),
    ),
    (
        "water_basis",
        part(
            "Water content stated",
            (),
            number("water_content", "Water content", "%"),
            choice("water_basis", "By wet or dry mass", ("wet", "dry")),
            choice("water_fraction", "Of whole soil or fines", ("total", "fine")),
        ),
    ),
    (
        "point",
        part(
            "Point transcribed",
            (),
            number("point.wet_density", "Wet density, transcribed"),
            number("point.dry_density", "Dry density, transcribed"),
            number("point.water_content", "Water content, stated", "%"),
            choice("water_basis", "By wet or dry mass", ("wet", "dry")),
            choice("point.bleeding", "Did water bleed out?", YES_NO),
        ),
    ),
    (
        "point",
        lines("Further containers", ("point", "containers"), "Container", *CONTAINER),
    ),
    (
        "oven_check",
        part(
            "Oven check",
            ("oven_check",),
            number("water_content", "Water content by the oven", "%"),
            text("dried.on", "Weighed dry on", "day"),
            text("dried.by", "Weighed dry by", "code"),
            text("oven.in", "Into the oven at", "time"),
            number("oven.temperature_c", "Oven temperature", "°C"),
            text("oven.out", "Out of the oven at", "time"),
        ),
    ),
    (
        "oven_check",
        lines(
            "Oven check containers",
            ("oven_check", "containers"),
            "Oven container",
            *CONTAINER,
            REJECTED,
        ),
    ),
    (
        "sand",
        part(
            "Sand not on file",
            ("sand",),
            number("bulk_density", "Bulk density of the sand"),
            number("cone", "Sand in cone and plate"),
        ),
    ),
    (
        "cylinder",
        part(
            "Cylinder not on file",
            ("cylinder",),
            number("volume", "Volume of the cylinder"),
            number("mass", "Mass of the cylinder"),
        ),
    ),
    (
        "target",
        part(
            "Target not on file",
            ("target",),
            number("maximum_dry_density", "Maximum dry density"),
            number("optimum_water_content", "Optimum water content", "%"),
            text("source", "Source"),
        ),
    ),
    (
        "requirement",
        part(
            "Requirement not on file",
            ("requirement",),
            text("zone", "Zone"),
            text("clause", "Clause"),
            text("standard.designation", "Standard"),
            text("standard.edition", "Edition"),
            text("standard.method", "Method"),
            text("standard.variant", "Agency's variant"),
            number("least_percent_compaction", "Least percent compaction", "%"),
            number("least_dry_density.value", "Least dry density"),
            choice("least_dry_density.unit", "Its unit", DENSITIES),
            number("water_content.from", "Water content from"),
            number("water_content.to", "Water content to"),
            choice("water_content.as", "As", ("points", "percent of optimum")),
            number("water_content.to_nearest", "Water content rounded to"),
            choice("compare.percent_compaction", "Percent compaction compared", EFFECT),
            choice("compare.dry_density", "Dry density compared", EFFECT),
            choice("compare.water_content", "Water content compared", EFFECT),
            choice("reference_values", "Reference", ("reported", "unrounded")),
            choice(
                "oversize",
                "Coarse particles",
                ("laboratory-to-field", "field-to-fine", "none"),
            ),
            choice("decision.rule", "Decision", ("simple", "guarded")),
            text("decision.agreed_on", "Agreed on", "day"),
            text("tests_required.each", "Tests required for each"),
            number("tests_required.number", "Tests required"),
            number("lot.average_of", "Lot: average of"),
            number("lot.average", "Lot: average at least", "%"),
            number("lot.each", "Lot: each at least", "%"),
            choice("oven_check", "Oven check demanded", YES_NO),
        ),
    ),
    (
        "uncertainty",
        part(
            "Expanded uncertainty",
            ("uncertainty",),
            number("percent_compaction", "Of percent compaction", "%"),
            number("dry_density", "Of dry density"),
            number("water_content", "Of water content", "%"),
            text("by", "Estimated by", "code"),
        ),
    ),
)
"""Parts of the kinds that have such a field, by the field."""
