"""
Parts common to all tests: people, dates, equipment, method, and their checks.

A kind states in a `Work` what these parts need to know; nothing here names a kind.
"""
