"""Drawings of the bench sheet: where the needle, the rod, the patch and the foam go."""
