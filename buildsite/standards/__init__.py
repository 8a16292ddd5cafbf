"""The requirements of published methods: tables with a source for each cell."""
