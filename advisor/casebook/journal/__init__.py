"""Answers on disk the moment they are given, by the standard library alone."""
