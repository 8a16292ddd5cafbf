"""
The published examples, recomputed: a laboratory's evidence that the program computes.

``examples`` reads what was printed; ``records`` writes what was given as the records
that a laboratory would write, and ``as_records`` has them computed; ``formulas`` holds
what is a formula alone; ``judge`` compares and ``said`` prints.
"""
