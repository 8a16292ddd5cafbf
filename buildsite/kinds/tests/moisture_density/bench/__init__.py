"""At the bench: what is read, what looks odd in it, and what to do next."""
