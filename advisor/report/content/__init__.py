"""What a report says, as blocks: the pages of rationale, quote and terminal."""
