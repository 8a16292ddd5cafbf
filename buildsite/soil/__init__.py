"""What nature says: SI numbers in, SI numbers out."""
