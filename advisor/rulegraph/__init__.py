"""The rule pack: its schema, loading it with file and line errors, and its graph."""
