"""Metric quantities inside a sentence, told again for a reader of other units."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.facts.quantity import System
from advisor.facts.units import unit_conversion

#: Metric units as sentences spell them: the dimension, and the unit told beside it.
_BESIDE: Mapping[str, tuple[str, str]] = {
    "mm": ("length", "in"), "cm": ("length", "in"),
    "N/mm": ("line_force", "lbf/in"), "N": ("force", "lbf"),
    "kg": ("mass", "lb"), "g": ("mass", "oz"), "°C": ("temperature", "°F"),
    "litre": ("volume", "fl oz"), "litres": ("volume", "fl oz"), "ml": ("volume", "fl oz"),
}  # fmt: skip
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_FIGURES = rf"[-−]?{_NUMBER}(?:(?: (?:to|and|or|by|x) | ?[x×–-] ?)[-−]?{_NUMBER})*"
#: A sentence may tell both units itself, and is left as it is when told twice.
_TOLD = r" \([^()]*[0-9] ?(?:in|oz|fl oz|lb|lbf|°F)\b"
#: "10 °C warmer" is a step in temperature, not a temperature.
_STEP = r"(?<=C) (?:above|below|warmer|hotter|cooler|colder|higher|lower)\b"
_IN_TEXT = re.compile(
    rf"(?<![\w.,/−–-])(?P<figures>{_FIGURES}) "
    rf"(?P<unit>{'|'.join(sorted(_BESIDE, key=len, reverse=True))})(?![\w/·²³]|{_TOLD}|{_STEP})"
)
_SIGNED = re.compile(rf"(?:(?<![0-9])[-−])?{_NUMBER}")


def also_in(text: str, system: System) -> str:
    """``text`` with each metric quantity followed by the same in other units of ``system``.

    "Over a 50 mm bar" becomes "Over a 50 mm (2 in) bar"; metric text stays as it is, and
    so does what was told in both units before. As many digits as were written, at least
    two; whole degrees.
    """
    if system is System.METRIC:
        return text
    return _IN_TEXT.sub(_told_again, text)


def _told_again(found: re.Match[str]) -> str:
    dimension, other = _BESIDE[found["unit"]]
    metric, shown = (unit_conversion(unit, dimension) for unit in (found["unit"], other))

    def again(number: re.Match[str]) -> str:
        written = number[0].replace("−", "-")
        value = shown.from_canonical(metric.to_canonical(float(written)))
        return _rounded(value, written, dimension)

    return f"{found[0]} ({_SIGNED.sub(again, found['figures'])} {other})"


def _rounded(value: float, written: str, dimension: str) -> str:
    """``value`` as exact as the figure it was converted from."""
    if dimension == "temperature":
        return f"{round(value, 1 if '.' in written else 0) + 0.0:g}"
    digits = len(written.strip("-0").replace(".", "").strip("0"))
    text = f"{float(f'{value:.{max(digits, 2)}g}') + 0.0:f}"
    return text.rstrip("0").rstrip(".")
