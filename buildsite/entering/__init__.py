"""Entry of readings at the bench: asked, checked, saved and committed."""
