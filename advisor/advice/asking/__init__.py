"""What knowing an open fact is worth, and which questions to ask."""
