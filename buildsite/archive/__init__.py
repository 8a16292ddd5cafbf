"""The archive at one state, and what relates states and records. Renders nothing."""
