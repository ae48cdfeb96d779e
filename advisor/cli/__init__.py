"""The command line: one file a group of commands; ``main`` runs it."""

from advisor.cli.entry_point import main

__all__ = ["main"]
