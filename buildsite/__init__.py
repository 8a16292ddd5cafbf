"""Compaction tests kept as text in git: computed, published, every change traceable."""

__version__ = "0.1.0"
