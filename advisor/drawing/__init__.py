"""Geometry shared by window and PDF: section, bars, graph, timeline. Knows no Qt."""
