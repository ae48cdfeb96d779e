"""All hazard questions on one page."""
