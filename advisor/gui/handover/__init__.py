"""The record: what is saved and handed over."""
