"""Practice: rounds, lessons, figures moved by hand, and what a trainer sees."""
