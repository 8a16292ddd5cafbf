"""Issue, withdraw, assess and review: conditions, kept files, one commit."""
