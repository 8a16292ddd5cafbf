"""The bench: readings, remarks on odd ones, and advice on the next point."""
