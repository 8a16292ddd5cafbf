"""Pages of what was issued: each revision, its history, comparisons."""
