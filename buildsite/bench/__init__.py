"""What the program costs as whole processes: ``python -m buildsite.bench``."""
