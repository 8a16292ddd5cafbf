"""The page of a project's field control, and what other pages say of it."""
