"""The compiled rule pack as plain frozen data: what the engine computes with."""
