"""The documented JSON of the command line."""
