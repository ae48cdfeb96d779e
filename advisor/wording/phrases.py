"""Sentences that carry the amounts they name, so that units are chosen where they are shown.

The rules are written in metric units. `read_phrase` finds the amounts in a text once, when
the rules are read; from there on they go along with the sentence, whatever is put before or
behind it, and `in_units` writes them in the reader's units.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, SupportsIndex

from advisor.facts.quantity import System
from advisor.facts.units import unit_conversion
from advisor.wording.amounts import Bounds

#: Metric units as sentences spell them: the dimension, and the unit given beside it.
_BESIDE: Mapping[str, tuple[str, str]] = {
    "mm": ("length", "in"), "cm": ("length", "in"),
    "N/mm": ("line_force", "lbf/in"), "N": ("force", "lbf"),
    "kg": ("mass", "lb"), "g": ("mass", "oz"), "°C": ("temperature", "°F"),
    "litre": ("volume", "fl oz"), "litres": ("volume", "fl oz"), "ml": ("volume", "fl oz"),
}  # fmt: skip
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_FIGURES = rf"[-−]?{_NUMBER}(?:(?: (?:to|and|or|by|x) | ?[x×–-] ?)[-−]?{_NUMBER})*"
#: A sentence may give both units itself, and is then left as it is.
_TOLD = r" \([^()]*[0-9] ?(?:in|oz|fl oz|lb|lbf|°F)\b"
#: "10 °C warmer" is a step in temperature, not a temperature.
_STEP = r"(?<=C) (?:above|below|warmer|hotter|cooler|colder|higher|lower)\b"
_AMOUNT = re.compile(
    rf"(?<![\w.,/−–-])(?P<figures>{_FIGURES}) "
    rf"(?P<unit>{'|'.join(sorted(_BESIDE, key=len, reverse=True))})(?![\w/·²³]|{_TOLD}|{_STEP})"
)
_SIGNED = re.compile(rf"(?:(?<![0-9])[-−])?{_NUMBER}")


@dataclass(frozen=True, slots=True)
class Named:
    """An amount that a sentence names: ``30 x 40 mm``."""

    start: int
    end: int
    """Its place in the sentence, unit and all."""
    figures: str
    """As written: one number, or several with what stands between them."""
    unit: str

    def also(self) -> str:
        """The same in the other units: ``1.2 x 1.6 in``, as exact as it is written."""
        dimension, other = _BESIDE[self.unit]
        metric, shown = (unit_conversion(unit, dimension) for unit in (self.unit, other))

        def again(number: re.Match[str]) -> str:
            written = number[0].replace("−", "-")
            value = shown.from_canonical(metric.to_canonical(float(written)))
            return _rounded(value, written, dimension)

        return f"{_SIGNED.sub(again, self.figures)} {other}"

    def in_system(self, written: str, _: System) -> str:
        """As the rules write it, and the same in the other units."""
        return f"{written} ({self.also()})"


@dataclass(frozen=True, slots=True)
class Computed:
    """An amount that the program has calculated, given in the reader's units alone."""

    start: int
    end: int
    bounds: Bounds

    def in_system(self, _: str, system: System) -> str:
        """In the units of ``system``."""
        return self.bounds.words(system)


Amount = Named | Computed


class Phrase(str):
    """A text with the amounts in it; as a string it is the metric text.

    Cutting it and adding to it keeps the amounts; an f-string does not, so put phrases
    together with ``+``, `joined` or `filled`.
    """

    amounts: tuple[Amount, ...]

    def __new__(cls, text: str, amounts: Iterable[Amount] = ()) -> Phrase:
        """``text`` with ``amounts`` in the order they stand in it."""
        phrase = super().__new__(cls, text)
        phrase.amounts = tuple(amounts)
        return phrase

    def __add__(self, other: str) -> Phrase:
        return joined("", (self, other))

    def __radd__(self, other: str) -> Phrase:
        return joined("", (other, self))

    def __getitem__(self, key: SupportsIndex | slice) -> str:
        """A slice in steps of one keeps the amounts that are wholly in it."""
        text = super().__getitem__(key)
        if not isinstance(key, slice) or key.step not in (None, 1):
            return text
        start, end, _ = key.indices(len(self))
        inside = (one for one in self.amounts if start <= one.start and one.end <= end)
        return Phrase(text, (_moved(one, -start) for one in inside))

    def lstrip(self, chars: str | None = None, /) -> str:
        """As for any string."""
        return self[len(self) - len(super().lstrip(chars)) :]

    def rstrip(self, chars: str | None = None, /) -> str:
        """As for any string."""
        return self[: len(super().rstrip(chars))]

    def strip(self, chars: str | None = None, /) -> str:
        """As for any string."""
        return self.rstrip(chars).lstrip(chars)

    def __reduce__(self) -> tuple[Any, ...]:
        """Kept with the compiled rules."""
        return Phrase, (str(self), self.amounts)


def _moved(one: Amount, by: int) -> Amount:
    return replace(one, start=one.start + by, end=one.end + by)


def joined(between: str, parts: Iterable[str]) -> Phrase:
    """As ``between.join(parts)``, with the amounts of all parts."""
    texts = tuple(parts)
    amounts: list[Amount] = []
    at = 0
    for text in texts:
        if isinstance(text, Phrase):
            amounts += (_moved(one, at) for one in text.amounts)
        at += len(text) + len(between)
    return Phrase(str(between).join(map(str, texts)), amounts)


def filled(template: str, *parts: str) -> Phrase:
    """``template`` with each ``{}`` in it replaced by the next part, amounts and all."""
    between = template.split("{}")
    pairs = zip(between, (*parts, ""), strict=True)
    return joined("", (text for pair in pairs for text in pair))


def named(figures: str, unit: str) -> str:
    """``5 to 100 mm``: an amount in a unit that sentences are written in, or just its words."""
    text = f"{figures} {unit}".strip()
    return Phrase(text, (Named(0, len(text), figures, unit),)) if unit in _BESIDE else text


def computed(bounds: Bounds) -> Phrase:
    """``under 1.2 mm``, or ``under 0.047 in`` for a reader of inches."""
    text = bounds.words()
    return Phrase(text, (Computed(0, len(text), bounds),))


def read_phrase(text: str) -> str:
    """``text`` with the metric amounts in it; as it is where it names none.

    What gives both units itself, "6 mm (1/4 in)", stays as it is.
    """
    found = [Named(*one.span(), one["figures"], one["unit"]) for one in _AMOUNT.finditer(text)]
    return Phrase(text, found) if found else text


def in_units(text: str, system: System) -> str:
    """``text`` for a reader of ``system``; what the rules name is given in both units.

    "Over a 50 mm bar" becomes "Over a 50 mm (2 in) bar"; metric text stays as it is. As many
    digits as were written, at least two; whole degrees.
    """
    if system is System.METRIC or not isinstance(text, Phrase):
        return str(text)
    found, at = [], 0
    for one in text.amounts:
        written = str(text)[one.start : one.end]
        found += [str(text)[at : one.start], one.in_system(written, system)]
        at = one.end
    return "".join((*found, str(text)[at:]))


def _rounded(value: float, written: str, dimension: str) -> str:
    """``value`` as exact as the figure it was converted from."""
    if dimension == "temperature":
        return f"{round(value, 1 if '.' in written else 0) + 0.0:g}"
    digits = len(written.strip("-0").replace(".", "").strip("0"))
    text = f"{float(f'{value:.{max(digits, 2)}g}') + 0.0:f}"
    return text.rstrip("0").rstrip(".")
