"""What came back and what held, and what a shop may learn from it."""
