"""Sampled worlds: the draws, what an answer tells about them, and how many are enough."""
