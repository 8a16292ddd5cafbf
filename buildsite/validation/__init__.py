"""
The published examples, recomputed: a laboratory's evidence that the program computes.

``examples`` reads what was printed; ``records`` writes what was given as the records
that a laboratory would write, which ``compaction_tests``, ``field_tests`` and
``other_tests`` have computed; ``formulas`` holds what is a formula alone;
``comparison`` and ``report``.
"""
