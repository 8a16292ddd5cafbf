"""One open format a file."""
