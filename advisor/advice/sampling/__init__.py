"""Simulated cases: the draws, what an answer says about them, and how many are enough."""
