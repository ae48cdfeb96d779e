"""Capitals, full stops and lists: how pieces of text become a sentence."""

from __future__ import annotations

import re
from collections.abc import Sequence

from advisor.wording.phrases import filled, joined


def capital(text: str) -> str:
    """``text`` with its first letter in upper case."""
    return text[:1].upper() + text[1:]


def lowered(text: str) -> str:
    """A title inside a sentence: ``Recolour`` to ``recolour``; ``ABS weld``, ``T-nut`` stay."""
    kept = text[1:2].isupper() or (text[1:2] == "-" and text[2:3].isalpha())
    return text if kept else text[:1].lower() + text[1:]


def sentence(text: str) -> str:
    """``text`` with a capital and a full stop."""
    text = text.strip()
    if not text:
        return ""
    return capital(text) + ("" if text[-1] in ".!?:" else ".")


def listed(parts: Sequence[str]) -> str:
    """``a, b and c``."""
    if len(parts) < 2:
        return joined("", parts)
    return filled("{} and {}", joined(", ", parts[:-1]), parts[-1])


def in_turn(titles: Sequence[str]) -> str:
    """``Warm the skin, then glue``: methods in the order of the work."""
    return joined(", then ", (*titles[:1], *(lowered(title) for title in titles[1:])))


def chain(titles: Sequence[str]) -> str:
    """A load path: ``shrunk skin > pull across the seam > glue line creeps``."""
    return joined(" > ", titles)


#: Between a number and its unit, or a currency and its number.
_TIED = re.compile(
    r"(?<=[0-9]) (?=(?:%|°[CF]|mm|cm|m|m²|ml|l|g|kg|N|N/mm|MPa|in|in²|ft|ft²|yd|oz|lb|lbf|lbf/in"
    r"|psi|min|h|yr)(?![\w/]))|(?<=\b[A-Z]{3}) (?=[0-9])"
)


def tied(text: str) -> str:
    """``text`` with spaces that no line ends at: within "36 %", "12 mm", "EUR 62"."""
    return _TIED.sub("\u00a0", text)
