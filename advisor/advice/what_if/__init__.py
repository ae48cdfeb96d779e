"""What another answer would change, and which unknowns carry the spread."""
