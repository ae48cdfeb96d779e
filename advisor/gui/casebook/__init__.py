"""Kept cases in the window: found again, looked at, opened, and what came of them."""
