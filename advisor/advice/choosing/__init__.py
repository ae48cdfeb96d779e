"""Hazards, needs, methods, costs and plans over the worlds of a case."""
