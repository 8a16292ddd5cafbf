"""Names of files that the archive's layout fixes."""

LAB = "records/lab.yaml"
"""The laboratory's record; its folder is the archive."""

SUFFIX = ".issued.yaml"
"""Ends the name of the file beside a test's record that has its issued items."""
