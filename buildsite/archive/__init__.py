"""The archive at one state, and relations between states and records. No rendering."""
