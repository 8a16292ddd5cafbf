"""A mold ready to fill in: what `new mold` asks and writes."""

from buildsite.kinds.kind import Ask, Blank
from buildsite.kinds.prompt_parsers import answered, numbers, unanswered

WATER = "empty_with_plates"
ACROSS = "diameters"

MEASURED_HERE = (
    Ask(
        WATER,
        "Filled with water: mold with its plates, empty and dry, in g "
        "(Enter: not by water)",
        when=unanswered("volume"),
    ),
    Ask("full_with_plates", "The same full of water, in g", when=answered(WATER)),
    Ask("temperature_c", "Temperature of the water, in °C", when=answered(WATER)),
    Ask(
        ACROSS,
        "Inside diameters in mm: those at the top, then as many at the bottom, with "
        "blanks between (Enter: not measured)",
        when=unanswered("volume"),
        split=numbers,
    ),
    Ask(
        "heights",
        "Inside heights in mm, with blanks between",
        when=answered(ACROSS),
        split=numbers,
    ),
)
"""Two ways to a volume, of which either will do."""

BLANK = Blank(
    """format: 1
kind: mold
id: {id}
nominal: {nominal}
units: {{mass: g, length: mm, volume: cm3}}
calibrations:
  - {{on: {on}, by: , next_due: {next_due}, state: as found,
     weighed_with: mold, mass: {mass}, volume: {volume}, certificate: {certificate},
     # Measured here: diameters, half of them at the top, then half at the bottom, as in
     # [101.61, 101.60, 101.62, 101.60, 101.59, 101.61]; three heights likewise.
     water: {{empty_with_plates: {empty_with_plates},
       full_with_plates: {full_with_plates}, temperature_c: {temperature_c}}},
     dimensions: {{diameters: {diameters}, heights: {heights}}}}}
""",
    prefix="M",
    asks=(
        Ask("nominal", "Nominal size", "4 in"),
        Ask("on", "Calibrated on (YYYY-MM-DD)"),
        Ask("next_due", "Due again on (YYYY-MM-DD)"),
        Ask("mass", "Mass empty, without base plate, in g"),
        Ask("volume", "Volume as certified, in cm3 (Enter: measured here)"),
        *MEASURED_HERE,
        Ask("certificate", "Certificate"),
    ),
)
