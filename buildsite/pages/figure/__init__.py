"""Plots drawn as SVG: frame, marks, and labels that cross nothing."""
