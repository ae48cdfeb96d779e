"""A repair-method advisor for interior trim: which joint holds, and why."""

__version__ = "0.1.0"
