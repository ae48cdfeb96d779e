"""From validated files to the compiled rule pack, checking all names, units and sources."""
