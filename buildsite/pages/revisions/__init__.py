"""Pages of issued tests: revisions, history, comparisons."""
