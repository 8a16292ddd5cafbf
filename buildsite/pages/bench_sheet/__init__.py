"""Bench sheets to print: blank, or filled in with readings."""
