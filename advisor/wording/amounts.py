"""Quantities as a person reads them, in either system of units.

`advisor.facts.quantity` has what a person may write; here also what only a job names.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from advisor.facts.declaration import CANONICAL_UNITS
from advisor.facts.quantity import System, convert, show, shown_unit
from advisor.facts.units import unit_conversion
from advisor.wording.figures import Range


@dataclass(frozen=True)
class Bounds:
    """Bounds of a quantity that a sentence names, in the canonical unit of ``dimension``."""

    low: float | None
    high: float | None
    dimension: str

    def words(self, system: System = System.METRIC) -> str:
        """``under 1.2 mm``, ``over 0.12 in``, ``0.9 to 1.2 mm``: to two digits, or degrees."""
        ends = [self._figure(end, system) for end in (self.low, self.high) if end is not None]
        figures = ends[0] if len(set(ends)) == 1 else " to ".join(ends)
        side = "over " if self.high is None else "under " if self.low is None else ""
        return f"{side}{figures} {shown_unit(self.dimension, system)}".rstrip()

    def _figure(self, end: float, system: System) -> str:
        value = convert(end, self.dimension, system)
        digits = f"{value:.0f}" if self.dimension == "temperature" else f"{value:.2g}"
        return f"{float(digits) + 0.0:g}"


def factor(unit: str, other: str, dimension: str) -> float:
    """How many ``other`` one ``unit`` is; both of ``dimension``, which has no zero offset."""
    one = unit_conversion(unit, dimension).to_canonical(1.0)
    return one / unit_conversion(other, dimension).to_canonical(1.0)


#: Dimensions that only a job names: metric unit, imperial unit, imperial per metric.
_JOB_UNITS: Mapping[str, tuple[str, str, Callable[[], float]]] = {
    "speed": ("mm/min", "in/min", lambda: factor("mm", "in", "length")),
    "density": (
        "kg/m3", "lb/ft3", lambda: factor("kg", "lb", "mass") / factor("m", "ft", "length") ** 3
    ),
    "cloth": ("m", "yd", lambda: factor("m", "yd", "length")),
    "big_area": ("m2", "ft2", lambda: factor("m2", "ft2", "area")),
    "distance": ("km", "mi", lambda: factor("km", "mi", "length")),
    "small_mass": ("g", "oz", lambda: factor("g", "oz", "mass")),
    "small_volume": ("ml", "fl oz", lambda: factor("ml", "fl oz", "volume")),
    "hours": ("h", "h", lambda: 1.0),
    "text": ("", "", lambda: 1.0),
}
#: Dimensions that a job names beside those of the facts.
JOB_DIMENSIONS = frozenset(_JOB_UNITS)
#: From so many minutes on a time is given in hours.
LONG = 120.0
#: Lengths below this [mm] are given in hundredths of an inch: no rule in a shop has thousandths.
INCH_HUNDREDTHS = 127.0

_DEGREES = re.compile(r"(?<![A-Za-z])deg ?([CF])\b", re.IGNORECASE)
_POWERS = re.compile(r"(?<=[a-z])[23](?![0-9])")


def for_people(text: str) -> str:
    """``text`` with degrees as a person writes them; files and JSON keep their plain letters.

    "62 degC" becomes "62 °C", a unit "degF" becomes "°F".
    """
    return _DEGREES.sub(lambda found: f"°{found[1].upper()}", text)


def unit_text(unit: str) -> str:
    """A unit of the files as a person writes it: "mm2" as "mm²", "degC" as "°C", "1" as ""."""
    raised = _POWERS.sub(lambda found: "²" if found[0] == "2" else "³", for_people(unit))
    return "" if raised == "1" else raised


def unit_of(dimension: str) -> str:
    """Canonical unit of a dimension of the job sheet. Raises KeyError for an unknown one."""
    return _JOB_UNITS[dimension][0] if dimension in _JOB_UNITS else CANONICAL_UNITS[dimension]


def unit_shown(dimension: str, system: System) -> str:
    """Unit as a person reads it."""
    if dimension not in _JOB_UNITS:
        return shown_unit(dimension, system)
    metric, imperial, _ = _JOB_UNITS[dimension]
    return unit_text(imperial if system is System.IMPERIAL else metric)


@lru_cache(maxsize=32)
def _imperial_per_metric(dimension: str) -> float:
    return _JOB_UNITS[dimension][2]()


def in_system(value: float, dimension: str, system: System) -> float:
    """``value`` from the canonical unit in the unit that ``system`` shows."""
    if dimension not in _JOB_UNITS:
        return convert(value, dimension, system)
    return value * (_imperial_per_metric(dimension) if system is System.IMPERIAL else 1.0)


def amount_text(
    value: Range, dimension: str, system: System, *, rounded: bool = False
) -> str:
    """Typical figure with its unit, the range in brackets where there is one.

    ``rounded`` leaves what can be measured or counted: two digits below 100, steps of 5
    below 1000, of 10 above.
    """
    if dimension == "time" and value.typical >= LONG:
        hours = Range(value.low / 60.0, value.typical / 60.0, value.high / 60.0)
        return amount_text(hours, "hours", system, rounded=rounded)
    figure = _round_figure if rounded else _figure
    low, typical, high = (
        figure(part, dimension, system) for part in (value.low, value.typical, value.high)
    )
    unit = unit_shown(dimension, system)
    said = f"{typical} {unit}".rstrip()
    return said if low == high else f"{said} ({low} to {high})"


def one_amount(value: float, dimension: str, system: System) -> str:
    """As `amount_text`, for a figure without a range."""
    return amount_text(Range(value, value, value), dimension, system)


def _figure(value: float, dimension: str, system: System) -> str:
    if dimension in _JOB_UNITS:
        return show(in_system(value, dimension, system), "number", System.METRIC)
    if dimension == "length" and system is System.IMPERIAL and abs(value) < INCH_HUNDREDTHS:
        return f"{in_system(value, dimension, system):.2f}"
    text = show(value, dimension, system)
    return text.removesuffix(shown_unit(dimension, system)).rstrip()


def _round_figure(value: float, dimension: str, system: System) -> str:
    """As `amount_text` rounds; a count stays as it is."""
    shown = in_system(value, dimension, system)
    if dimension == "number" and shown == round(shown):
        return f"{shown:.0f}"
    size = abs(shown)
    if size >= 100.0:
        step = 5 if size < 1000.0 else 10
        return f"{step * round(shown / step)}"
    if size >= 10.0:
        return f"{shown:.0f}"
    return _plain(float(f"{shown:.2g}"))


def _plain(value: float) -> str:
    """Without an exponent or zeros at the end."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return text if text not in ("", "-0") else "0"
