"""How long an earlier repair lasted and whether it still holds, as the words tell."""

from __future__ import annotations

import re

from advisor.facts.case import EarlierRepair

#: Years in each unit that people tell.
_YEARS = {
    "day": 1 / 365.25, "week": 7 / 365.25, "month": 1 / 12,
    "year": 1.0, "summer": 1.0, "winter": 1.0, "season": 1.0,
}  # fmt: skip
_NUMBERS = {"a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0,
            "few": 3.0, "some": 3.0, "several": 4.0, "half": 0.5}  # fmt: skip
_NUMBER = r"\d+(?:[.,]\d+)?|" + "|".join(_NUMBERS)
_SPAN = re.compile(
    rf"\b(?P<least>{_NUMBER})(?:\s*(?:to|-|\.\.|or)\s*(?P<most>{_NUMBER}))?\s+(?:a\s+)?"
    rf"(?P<unit>{'|'.join(_YEARS)})s?\b"
)
_HELD = re.compile(r"\b(held|holds|holding|still good|intact|fine)\b")
_FAILED = re.compile(
    r"\b(let go|opened?|open again|broke|broken|tore|torn|fell|fallen|came|cracked|snapped|peel\w*"
    r"|lifted|rolled|rotted|failed|loose|off|again)\b"
)

def years_lasted(repair: EarlierRepair) -> tuple[float, float] | None:
    """Years that it lasted, from and to; None where no time is named ("short" names none)."""
    found = _SPAN.search(repair.lasted.lower())
    if found is None:
        return None
    unit = _YEARS[found["unit"]]
    low = _number(found["least"]) * unit
    return low, _number(found["most"]) * unit if found["most"] else low


def has_failed(repair: EarlierRepair) -> bool | None:
    """True where it gave way, False where it still holds, None where the words do not tell."""
    words = repair.result.lower()
    held, failed = _HELD.search(words) is not None, _FAILED.search(words) is not None
    return None if held == failed else failed


def _number(word: str) -> float:
    return _NUMBERS[word] if word in _NUMBERS else float(word.replace(",", "."))
