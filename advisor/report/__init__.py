"""Renderers of an advice: JSON for programs, text, HTML and PDF for people."""
