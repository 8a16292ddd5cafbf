"""
What tests of every kind share: who, when, with what, by which method, and its checks.

A kind says in a `Work` what the shared parts must know of it; nothing here knows a
kind by name.
"""
