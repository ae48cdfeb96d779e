"""Advice calculated again, years later: identical, or what differs and why."""
