"""What the laboratory is and works for: itself, its projects, its samples."""
