"""What the YAML of a rule pack may contain, as pydantic models."""
