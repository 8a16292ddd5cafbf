"""Pages, figures and texts for the terminal, rendered from the archive."""
