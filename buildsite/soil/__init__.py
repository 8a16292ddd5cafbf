"""Soil mechanics: SI numbers in, SI numbers out."""
