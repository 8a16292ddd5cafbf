"""Issue, withdraw, assess and review: what may be, what is kept, in one commit."""
