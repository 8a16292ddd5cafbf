"""What the published methods ask for: tables with a source beside each cell."""
