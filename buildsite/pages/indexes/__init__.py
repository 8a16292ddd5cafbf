"""Pages that list: projects, soils, samples, equipment, flags, news."""
