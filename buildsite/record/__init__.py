"""What was written: bytes to records, flags and edits. Touches nothing outside."""
