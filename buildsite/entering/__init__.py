"""Readings entered at the bench: question by question, judged, saved, committed."""
