"""Declared facts, quantities with units, and cases."""
