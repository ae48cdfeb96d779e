"""Home, the shop and help."""
