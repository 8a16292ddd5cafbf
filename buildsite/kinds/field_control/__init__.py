"""Field tests side by side: their results as told, and the figures of many."""
