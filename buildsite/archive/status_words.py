"""Where a test stands, in a word or two."""

UNREADABLE = "unreadable"
"""Status of a file that can't be read as a record."""

STATUS_WORDS = {
    "complete": "not issued",
    "in-progress": "in progress",
    "withdrawn": "withdrawn",
    UNREADABLE: "unreadable",
}
"""Status of a test that has not been issued."""

ISSUED_WORDS = {
    "report": "issued",
    "preliminary": "preliminary",
    "withdrawal": "withdrawn",
}
"""Status of an issued test, by its last revision."""
