"""Git, and nothing else runs it: what stands, what a commit held, who edited."""
