"""Burn tests: the record, the rule sets with their limits, the verdict and its page."""
