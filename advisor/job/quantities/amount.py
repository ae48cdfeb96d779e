"""Amounts with their unit and range, and how they are shown in either system of units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.advice.result import Range
from advisor.facts.declaration import CANONICAL_UNITS
from advisor.facts.quantity import System, convert, show, shown_unit

#: Dimensions only the job sheet knows: canonical unit, imperial unit, imperial per canonical.
EXTRA: Mapping[str, tuple[str, str, float]] = {
    "speed": ("mm/min", "in/min", 1.0 / 25.4),
    "density": ("kg/m3", "lb/ft3", 0.0624279606),
    "cloth": ("m", "yd", 1.0 / 0.9144),
    "big_area": ("m2", "ft2", 1.0 / 0.09290304),
    "distance": ("km", "mi", 1.0 / 1.609344),
    "small_mass": ("g", "oz", 1.0 / 28.349523125),
    "small_volume": ("ml", "fl oz", 1.0 / 29.5735295625),
    "hours": ("h", "h", 1.0),
    "text": ("", "", 1.0),
}
#: From so many minutes on a time is told in hours.
LONG = 120.0
#: Status of a figure that the job sheet worked out itself.
COMPUTED = "computed"
_PRETTY = {"m2": "m²", "ft2": "ft²", "kg/m3": "kg/m³", "lb/ft3": "lb/ft³"}


@dataclass(frozen=True)
class Amount:
    """One quantity of the job.

    ``value`` is in ``unit``, the canonical unit of ``dimension``; a word in its place
    (a thread, a needle point) stands in ``words`` with dimension "text".
    """

    key: str
    title: str
    value: Range
    dimension: str
    unit: str
    source: str
    """Key of the bibliography."""
    status: str
    """looked_up, from_memory, common_practice, estimate or computed."""
    note: str = ""
    words: str = ""

    def text(self, system: System = System.METRIC) -> str:
        """``120 mm``, ``830 mm (780 to 950)``, or the words; what is computed is rounded."""
        rounded = self.status == COMPUTED
        return self.words or range_text(self.value, self.dimension, system, rounded=rounded)


def unit_of(dimension: str) -> str:
    """Canonical unit of a dimension of the job sheet. Raises KeyError for an unknown one."""
    return EXTRA[dimension][0] if dimension in EXTRA else CANONICAL_UNITS[dimension]


#: Lengths below this [mm] are told in hundredths of an inch: no rule in a shop has thousandths.
INCH_HUNDREDTHS = 127.0


def in_system(value: float, dimension: str, system: System) -> float:
    """``value`` from the canonical unit in the unit that ``system`` shows."""
    if dimension in EXTRA:
        return value * (EXTRA[dimension][2] if system is System.IMPERIAL else 1.0)
    return convert(value, dimension, system)


def unit_shown(dimension: str, system: System) -> str:
    """Unit as a person reads it."""
    if dimension in EXTRA:
        metric, imperial, _ = EXTRA[dimension]
        unit = imperial if system is System.IMPERIAL else metric
        return _PRETTY.get(unit, unit)
    return shown_unit(dimension, system)


def range_text(
    value: Range, dimension: str, system: System, *, rounded: bool = False
) -> str:
    """Typical figure with its unit, the range in brackets where there is one.

    ``rounded`` leaves what can be measured or counted: two digits below 100, steps of 5
    below 1000, of 10 above.
    """
    if dimension == "time" and value.typical >= LONG:
        hours = Range(value.low / 60.0, value.typical / 60.0, value.high / 60.0)
        return range_text(hours, "hours", system, rounded=rounded)
    figure = _round_figure if rounded else _figure
    low, typical, high = (
        figure(part, dimension, system) for part in (value.low, value.typical, value.high)
    )
    unit = unit_shown(dimension, system)
    said = f"{typical} {unit}".rstrip()
    return said if low == high else f"{said} ({low} to {high})"


def _figure(value: float, dimension: str, system: System) -> str:
    if dimension in EXTRA:
        return show(in_system(value, dimension, system), "number", System.METRIC)
    if dimension == "length" and system is System.IMPERIAL and abs(value) < INCH_HUNDREDTHS:
        return f"{in_system(value, dimension, system):.2f}"
    text = show(value, dimension, system)
    return text.removesuffix(shown_unit(dimension, system)).rstrip()


def _round_figure(value: float, dimension: str, system: System) -> str:
    """As `range_text` rounds; a count stays as it is."""
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
