"""Practice: lessons, rounds and what they are scored by."""
