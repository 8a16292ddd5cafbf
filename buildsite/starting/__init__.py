"""What a laboratory begins with: the files of a new archive."""
