"""Small pieces of wording shared by all sentences."""

from __future__ import annotations


def of_hundred(share: float) -> str:
    """A share of the computed cases in words; never "all" or "none" of a sample."""
    if share >= 0.995:
        return "more than 99 of 100"
    return "fewer than 1 of 100" if share < 0.005 else f"{round(100 * share)} of 100"


def lowered(words: str) -> str:
    """First letter small, unless the word is all capitals (ABS, PVC)."""
    return words if words[:2].isupper() else words[:1].lower() + words[1:]
