"""One home for the words around figures: counts, money, durations, ranges, amounts, sentences."""
