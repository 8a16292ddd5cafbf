"""Equipment that tests use: its records and calibrations."""
