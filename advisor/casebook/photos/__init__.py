"""Photos of a case: kept by content, turned upright, without place and names; measured."""
