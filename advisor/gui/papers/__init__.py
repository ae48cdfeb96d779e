"""Burn-test records, materials on hand, and what papers a case needs."""
