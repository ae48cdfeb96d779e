"""The side that shows the part: section drawing and method bars."""
