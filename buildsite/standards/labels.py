"""What a cell is called on a page."""

LABELS = {
    "calibration_interval": "Calibrated again within",
    "calibration_specimens": "Calibrated again after specimens",
    "drying_before_test": "Drying before the test, at most",
    "effort_nominal": "Compactive effort, nominal",
    "gradation_retained_no_4": "Retained on No. 4, at most",
    "gradation_retained_3_8_in": "Retained on 3/8 in., at most",
    "gradation_retained_3_4_in": "Retained on 3/4 in., at most",
    "gradation_retained_16_mm": "Retained on 16 mm, at most",
    "gradation_retained_31_5_mm": "Retained on 31.5 mm, at most",
    "gradation_retained_20_mm": "Retained on 20 mm, at most",
    "gradation_retained_37_5_mm": "Retained on 37.5 mm, at most",
    "greatest_step": "Step of water content near the peak, at most",
    "greatest_step_heavy_clay": "Step of water content in heavy clay, at most",
    "constant_mass": "Constant mass, last loss at most",
    "constant_mass_interval": "Constant mass, further drying of at least",
    "effort": "Compactive effort",
    "last_layer_above_rim": "Last layer above the rim, at most",
    "least_points": "Points, at least",
    "least_points_each_side": "Points on each side of the optimum, at least",
    "may_reuse_soil": "Compacted soil may be used again",
    "mold": "Mold, nominal",
    "mold_volume_agreement": "Two calibrations of the volume agree within",
    "mold_wear": "Mold in service, past its tolerances by at most",
    "moisture_specimen_least": "Moisture specimen, at least",
    "oven": "Oven",
    "oven_ample": "Drying that needs no successive weighings",
    "oven_least": "Drying without successive weighings, at least",
    "oversize_least": "Oversize corrected above",
    "oversize_limit": "Oversize, at most",
    "rammer_face_least": "Rammer face in service, at least",
    "rammer_face_wear": "Rammer face worn by at most",
    "rammer_upright": "Rammer from vertical, at most",
    "resolution_compacted_g": "Compacted mass read to",
    "resolution_compacted_lb": "Compacted mass read to (pounds)",
    "resolution_moisture_g": "Moisture masses read to",
    "resolution_moisture_lb": "Moisture masses read to (pounds)",
    "resolution_gravity": "Weighings for specific gravity read to",
    "resolution_gravity_share": "Weighings for specific gravity, share of the specimen",
    "sieve": "Soil processed through",
    "soak": "Soaking in water",
    "split_agreement": "Fractions of a split agree with the whole within",
    "split_sieves": "Split on",
    "stop_when_wet_mass_falls": "Series ends when the wet mass falls or stays",
    "limits_compared": "A result is compared with a limit",
    "oversize_water_content": "Water content of oversize, when not measured",
    "usual_step": "Step of water content, usual",
}
"""Labels that the name of a cell does not give by itself."""


def label(name: str) -> str:
    """
    Name a cell for a page.

    >>> label("rammer_mass"), label("oversize_limit")
    ('Rammer mass', 'Oversize, at most')
    """
    return LABELS.get(name, name.replace("_", " ").capitalize())
