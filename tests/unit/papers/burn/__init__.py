"""Tests of burn records."""
