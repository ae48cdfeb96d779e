"""Blocks of a report rendered as text, HTML and PDF."""
