"""The verdict, and another answer tried out."""
