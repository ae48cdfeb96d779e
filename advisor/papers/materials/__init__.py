"""Materials on hand: lots with their papers, what expires, and which jobs used a lot."""
