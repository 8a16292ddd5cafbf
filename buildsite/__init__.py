"""Compaction tests kept as text in git, computed, published, each revision traceable."""

__version__ = "0.1.0"
