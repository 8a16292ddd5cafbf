"""How each example is computed: as records, else by its formula."""

from collections.abc import Callable

from buildsite.validation import as_records, formulas
from buildsite.validation import other_tests as around
from buildsite.validation.examples import Example, Recomputed

RECOMPUTE: dict[str, Callable[[Example], Recomputed]] = {
    "b01": as_records.corrected_for_gravel,
    "b02": as_records.dry_soil,
    "b03": as_records.compaction,
    "b04": as_records.printed_parabola,
    "b05": as_records.compaction,
    "b06": as_records.field_air_voids,
    "b07": formulas.lines,
    "b08": formulas.added_water,
    "b09": formulas.whole_soil,
    "b11": as_records.first_wet_density,
    "b12": formulas.efforts,
    "b14": as_records.inconsistent,
    "b15": as_records.filled_with_water,
    "b16": as_records.cylinder,
    "b17": as_records.drive_cylinders,
    "b18": as_records.compaction,
    "b19": formulas.stones_put_back,
    "b20": formulas.stones_taken_away,
    "c01": around.stones,
    "c02": around.stones,
    "c03": around.stones,
    "c04": around.stones,
    "c05": around.sizes_together,
    "c06": around.split,
    "g01": around.solids,
    "g02": around.solids,
    "j01": formulas.end_gauge,
    "m01": around.water_contents,
    "m02": around.water_contents,
    "m03": around.water_contents,
    "m04": around.water_contents,
    "m05": around.water_contents,
    "r01": formulas.between_two,
    "w01": formulas.water,
    "w02": formulas.water,
}
