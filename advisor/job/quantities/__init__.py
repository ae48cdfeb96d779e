"""How much of everything a plan takes: stitches, thread, foam, filler, rod."""
