"""The rule graph as a picture."""
