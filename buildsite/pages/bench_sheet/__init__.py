"""Bench sheets to print: blank, or filled in with what was read."""
