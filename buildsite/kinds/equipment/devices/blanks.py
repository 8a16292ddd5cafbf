"""Rammers, balances, ovens and sieves ready to fill in: what `new` asks and writes."""

from buildsite.kinds.kind import Ask, Blank
from buildsite.kinds.prompt_parsers import answered, numbers, pairs

OPERATION = Ask("operation", "Worked how", "manual", ("manual", "mechanical"))
FACE = Ask("face", "Face", "round", ("round", "sector"))
READABILITY = Ask("readability", "Readability in g, such as 0.01")
CAPACITY = Ask("capacity", "Capacity in g")
MASS = Ask("mass", "Mass in g")
DROP = Ask("drop", "Drop in mm")
OPENING = Ask("opening", "Opening, such as No. 4")

CALIBRATED = (
    Ask("on", "Calibrated on (YYYY-MM-DD)"),
    Ask("next_due", "Due again on (YYYY-MM-DD)"),
    Ask("certificate", "Certificate"),
)


FINDINGS = {
    "rammer": (
        Ask(
            "face_diameter",
            "Diameter of the face in mm (Enter: not measured)",
            when=answered("face", "round"),
        ),
        Ask(
            "sector_radius",
            "Radius of the sector in mm (Enter: not measured)",
            when=answered("face", "sector"),
        ),
    ),
    "balance": (
        Ask("largest_error", "Largest error certified, in g (Enter: none stated)"),
        Ask(
            "check_masses",
            "Check masses in g: each mass and what was read, as in 500 500.02 1000 "
            "999.98 (Enter: none)",
            split=pairs("mass", "read"),
        ),
    ),
    "oven": (
        Ask("set_temperature_c", "Set to, in °C (Enter: not checked)"),
        Ask(
            "measured_temperatures_c",
            "Temperatures measured in it, in °C, with blanks between",
            when=answered("set_temperature_c"),
            split=numbers,
        ),
    ),
}
"""What a check of each sort of device finds, asked for before its certificate."""


BLANK_FINDINGS = {
    "rammer": "mass: {mass}, drop: {drop}, face_diameter: {face_diameter},\n"
    "     sector_radius: {sector_radius}, ",
    "balance": "largest_error: {largest_error}, check_masses: {check_masses},\n     ",
    "oven": "set_temperature_c: {set_temperature_c},\n"
    "     measured_temperatures_c: {measured_temperatures_c}, ",
}
"""What is measured of each sort of device, ready to be filled in."""


def device_blank(name: str, prefix: str, stated: str, asks: tuple[Ask, ...]) -> Blank:
    """Make the blank of one sort of device. `stated`: its own lines."""
    found = BLANK_FINDINGS.get(name, "")
    return Blank(
        f"""format: 1
kind: {name}
id: {{id}}
name:
units: {{{{mass: g, length: mm}}}}
{stated}calibrations:
  - {{{{on: {{on}}, by: , next_due: {{next_due}}, state: as found,
     {found}certificate: {{certificate}}}}}}
""",
        prefix,
        (*asks, *CALIBRATED[:2], *FINDINGS.get(name, ()), *CALIBRATED[2:]),
    )
