"""Compaction tests kept as text in git, computed and published, every revision traceable."""

__version__ = "0.1.0"
