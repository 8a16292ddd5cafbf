"""Steps, points to check by eye and cautions of each apparatus, in our own words."""

from buildsite.kinds.sieves import all_sizes, by_size
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.model import FieldDensity
from buildsite.kinds.tests.field_density.water import way_of
from buildsite.kinds.tests.shared import bench as parts

SITE = (
    "Traffic and plant: vest, a lookout, and the roller stopped before you kneel down. "
    "Stay in sight of the operator.",
    "Dust: don't breathe it; dry soil may contain silica.",
)
HOLES = (
    "Open holes: fill and tamp each hole before you leave it.",
    "Sand cone and samples are heavy: lift with a straight back.",
)
GAUGE = (
    "Nuclear gauge: only trained and badged operators under the licence. Never leave "
    "the gauge unattended; lock it and block it for transport; keep others away while "
    "the rod is out. The radiation safety officer decides.",
)
DRYING = {
    "oven": "Oven: hot containers burn. Use tongs and gloves.",
    "stove": "Stove: open flame and hot pan. Away from fuel; gravel may burst.",
    "microwave": "Microwave: gravel may burst; no metal inside.",
    "gas-pressure": "Gas-pressure tester: the gas burns. No sparks or flames; point "
    "the cap away from everybody.",
}

CONE_STEPS = (
    "Level the spot and seat the base plate; on rough ground fill cone and plate once "
    "on the surface first.",
    "Weigh the apparatus filled with sand.",
    "Dig the hole{hole} through the plate, with steady walls; all soil into a closed "
    "container. No roller nearby while the sand runs.",
    "Weigh the wet soil at once, then take the moisture specimen.",
    "Seat the apparatus, open the valve fully, wait until the sand stands still, close "
    "it and weigh what is left.",
)
BALLOON_STEPS = (
    "Level the spot, fix the plate, and read the apparatus on the surface at the "
    "pressure of its calibration.",
    "Dig the hole{hole} through the plate; all soil into a closed container.",
    "Weigh the wet soil at once, then take the moisture specimen.",
    "Read the apparatus in the hole at the same pressure.",
)
CYLINDER_STEPS = (
    "Take off the loose surface; drive the cylinder straight, its top just below the "
    "surface, and stop before the soil inside is pressed.",
    "Dig it out with soil below it; trim both ends flush.",
    "Short, a stone in an end, or an end broken: discard it and drive another.",
    "Weigh cylinder and soil; take the moisture specimen out of the middle.",
)
GAUGE_STEPS = (
    "Take the standard counts of the day on the reference block, away from other "
    "gauges and walls.",
    "Level the spot, fill voids flush with fines, make the hole of the pin straight, "
    "and deeper than the rod.",
    "Seat the gauge, draw it so that the rod touches the hole, and read.",
    "Turn the gauge about its rod and read again; keep each reading.",
)
STEPS = {
    "sand-cone": CONE_STEPS,
    "balloon": BALLOON_STEPS,
    "drive-cylinder": CYLINDER_STEPS,
    "nuclear-gauge": GAUGE_STEPS,
}

TICKS = {
    "sand-cone": (
        "Sand dry, of the bag named, its bulk density in date",
        "No vibration while the sand ran",
        "All soil of the hole weighed, none dried out",
    ),
    "balloon": (
        "Same pressure for both readings",
        "No leak, and the balloon fills the hole",
        "All soil of the hole weighed, none dried out",
    ),
    "drive-cylinder": (
        "Edge of the cylinder sharp and round",
        "Cylinder full, both ends sound",
        "No gravel in the specimen",
    ),
    "nuclear-gauge": (
        "Standard counts within their limits",
        "Rod no deeper than the lift",
        "No wall, trench face or other gauge nearby",
    ),
}


def least(case: Test, lead: str) -> str:
    """Return the least that the largest particle asks for, else each that is listed."""
    method, size = case.method, case.record.largest_particle
    if method is None:
        return ""
    cell = by_size(method, lead, size) if size else None
    if cell is not None:
        other = f", {cell.also}" if cell.also else ""
        return f" (at least {cell.printed}{other})"
    sizes = all_sizes(method, lead)
    listed = ", ".join(f"{name} {one.printed}" for _, name, one in sizes)
    return f" (at least for {listed})" if listed else ""


def steps(case: Test) -> tuple[str, ...]:
    """Return the steps of the apparatus, then of the water content."""
    record, way = case.record, way_of(case.record)
    hole = least(case, "hole_volume_at_least")
    found = tuple(one.replace("{hole}", hole) for one in STEPS[record.apparatus])
    if way in ("gauge", "gas-pressure"):
        return found
    much = least(case, "specimen_at_least")
    overnight = parts.overnight(case.method)
    dry = overnight if way == "oven" else f"in the {way}, to constant mass"
    return (*found, f"Weigh the moisture specimen{much}, and dry it {dry}.")


def ticks(record: FieldDensity) -> tuple[str, ...]:
    """Return what is checked by eye."""
    return TICKS[record.apparatus]


def cautions(record: FieldDensity) -> tuple[str, ...]:
    """Return the hazards of the site, the apparatus and the drying."""
    gauge = GAUGE if record.apparatus == "nuclear-gauge" else ()
    digs = HOLES if record.apparatus in ("sand-cone", "balloon") else ()
    drying = DRYING.get(way_of(record))
    return (*SITE, *digs, *gauge, *((drying,) if drying else ()))
