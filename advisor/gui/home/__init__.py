"""Home: where the day begins, and what is said once about the shop."""
