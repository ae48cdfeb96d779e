"""Quantities without a ruler in hand: spans to pick, units to choose, years. Knows no Qt."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from advisor.facts.answer import highest
from advisor.facts.case import PART, Case
from advisor.facts.declaration import FactDecl
from advisor.facts.quantity import System, shown_unit

UNITS = {
    ("length", System.METRIC): ("mm", "cm", "in"),
    ("length", System.IMPERIAL): ("in", "mm", "cm"),
    ("force", System.METRIC): ("N", "kgf", "lbf"),
    ("force", System.IMPERIAL): ("lbf", "N", "kgf"),
    ("temperature", System.METRIC): ("degC", "degF"),
    ("temperature", System.IMPERIAL): ("degF", "degC"),
}
BARE = re.compile(r"[\d.,/ ]+(?:\s*(?:to|-|\.\.)\s*[\d.,/ ]+)?")
YEAR = re.compile(r"(?:19|20)\d\d")
LONG = 600.0
"""Lengths that may be longer than this, mm, are compared with a hand."""
#: Common measures of an adult hand, rounded: common practice, no source.
HAND = (
    ("finger wide, 1 to 3 cm", 10.0, 30.0), ("hand wide, 7 to 11 cm", 70.0, 110.0),
    ("hand long, 16 to 21 cm", 160.0, 210.0), ("20 to 30 cm", 200.0, 300.0),
)  # fmt: skip
AGES = ((0.0, 2.0), (2.0, 5.0), (5.0, 10.0), (10.0, 20.0))
COUNTS = (1, 2, 3)


@dataclass(frozen=True)
class PresetSpan:
    """A span to pick with one touch."""

    title: str
    text: str
    """As it would be typed."""


def units_for(fact: FactDecl, system: System) -> tuple[str, ...]:
    """Units to choose from, the shop's own first; none where a quantity has but one."""
    return UNITS.get((fact.dimension, system), ())


def with_unit(fact: FactDecl, text: str, unit: str, today: date) -> str:
    """What was typed, a bare number in ``unit``; a year where an age is asked for.

    What has a unit already, or cannot be a number, stays as it is.
    """
    text = text.strip()
    if fact.dimension == "age" and YEAR.fullmatch(text):
        return f"{max(today.year - int(text), 0)} yr"
    if fact.dimension == "age" and BARE.fullmatch(text):
        return f"{text} yr"
    return f"{text} {unit}" if unit and BARE.fullmatch(text) else text


def presets(fact: FactDecl, case: Case, system: System) -> tuple[PresetSpan, ...]:
    """About five spans that cover what is possible; none where only a tool can tell."""
    if fact.tool or fact.high <= fact.low:
        return ()
    kinds = case.facts.get(PART)
    high = highest(fact, kinds if isinstance(kinds, tuple) else ())
    if fact.dimension == "age":
        return _ages(high)
    if fact.dimension == "number":
        return _counts(high) if fact.whole else ()
    if fact.dimension != "length":
        return ()
    return _hands(fact.low, high) if fact.high >= LONG else _lengths(fact, high, system)


def _ages(high: float) -> tuple[PresetSpan, ...]:
    found = [PresetSpan(f"{a:g} to {b:g} years" if a else f"under {b:g} years",
                        f"{a:g} to {b:g} yr") for a, b in AGES]
    last = AGES[-1][1]
    return (*found, PresetSpan(f"over {last:g} years", f"{last:g} to {min(high, 40.0):g} yr"))


def _counts(high: float) -> tuple[PresetSpan, ...]:
    found = [PresetSpan(str(n), str(n)) for n in COUNTS if n <= high]
    if high >= 6:
        found.append(PresetSpan("4 to 6", "4 to 6"))
    if high > 6:
        found.append(PresetSpan("more", f"7 to {min(high, 20):g}"))
    return tuple(found)


def _hands(least: float, high: float) -> tuple[PresetSpan, ...]:
    found = [
        PresetSpan(title, f"{low:g} to {up:g} mm")
        for title, low, up in HAND
        if least <= low and up <= high
    ]
    if high > 300.0:
        found.append(PresetSpan("over 30 cm", f"300 to {min(high, 1200.0):g} mm"))
    return tuple(found)


def _lengths(fact: FactDecl, high: float, system: System) -> tuple[PresetSpan, ...]:
    """Spans between round figures, each some times as large as the one before."""
    low = max(fact.low, high / 100.0)
    marks = [_round(low * (high / low) ** (i / 5)) for i in range(1, 5)]
    marks = sorted({mark for mark in marks if low < mark < high})
    ends = [max(fact.low, 0.0), *marks, high]
    unit, factor = ("in", 25.4) if system is System.IMPERIAL else ("mm", 1.0)
    found = []
    for i, (one, other) in enumerate(pairwise(ends)):
        a, b = f"{one / factor:.2g}", f"{other / factor:.2g}"
        title = f"under {b}" if i == 0 else f"over {a}" if i == len(marks) else f"{a} to {b}"
        found.append(PresetSpan(f"{title} {unit}", f"{one:.3g} to {other:.3g} mm"))
    return tuple(found)


def _round(value: float) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    return max(step * power for step in (1, 2, 5) if step * power <= value * 1.0001)


def default_unit(fact: FactDecl, system: System) -> str:
    """The unit that a bare number is taken in; empty where there is none."""
    return "" if fact.dimension == "number" else shown_unit(fact.dimension, system)


def stepped(text: str, by: int) -> str:
    """The number in ``text`` one step up or down, by its own last digit; else as it is."""
    match = re.match(r"\s*(\d+(?:\.\d+)?)(.*)", text)
    if match is None:
        return text
    number, rest = match.groups()
    places = len(number.partition(".")[2])
    value = max(float(number) + by * 10.0**-places, 0.0)
    return f"{value:.{places}f}{rest}"
