"""What the papers of a fill share: they list field tests, and are none themselves."""
