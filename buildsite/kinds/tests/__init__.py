"""Kinds of test: one folder each, and what all of them share."""
