"""The yearly audit: what the shop says of itself, what is missing, and the binder."""
