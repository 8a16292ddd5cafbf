"""Index pages: projects, soils, samples, equipment, flags, news."""
