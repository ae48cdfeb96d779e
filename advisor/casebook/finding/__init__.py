"""Cases found again: search, lists, saved searches, tables for other programs, the bin."""
