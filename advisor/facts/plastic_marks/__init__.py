"""Marks moulded into plastic parts: the symbols, reading them, what they say."""
