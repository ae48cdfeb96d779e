"""Measured amounts as exact fractions, read from the text as it was written.

No binary float takes part: a mean that is exactly on its limit is on its limit. Factors
between units are exact by definition (inch and pound: international agreement, 1959).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from advisor.facts.faults import AnswerError, nearest_name

_INCH = Fraction(127, 5)
_POUND = Fraction(45359237, 100000)

_SIZES: Mapping[str, Mapping[str, Fraction | int]] = {
    "length": {"mm": 1, "cm": 10, "m": 1000, "in": _INCH, "ft": 12 * _INCH},
    "time": {"s": 1, "min": 60, "h": 3600},
    "speed": {"mm/min": 1, "cm/min": 10, "mm/s": 60, "in/min": _INCH},
    "mass": {"g": 1, "kg": 1000, "lb": _POUND, "oz": _POUND / 16},
    "share": {"%": 1},
    "heat_flux": {"kW/m2": 1, "W/cm2": 10},
    "heat": {"kW min/m2": 1, "W min/cm2": 10},
    "number": {"": 1},
}
#: Kind of amount to its units: how much of the first one a unit is, and what is added.
UNITS: Mapping[str, Mapping[str, tuple[Fraction, Fraction]]] = {
    **{
        kind: {unit: (Fraction(size), Fraction(0)) for unit, size in sizes.items()}
        for kind, sizes in _SIZES.items()
    },
    "temperature": {
        "degC": (Fraction(1), Fraction(0)),
        "degF": (Fraction(5, 9), Fraction(-160, 9)),
    },
}

_KIND_WORDS: Mapping[str, str] = {
    "length": "a length such as 4.2 in or 107 mm",
    "time": "a time such as 2.5 s or 24 h",
    "speed": "a rate such as 4 in/min or 102 mm/min",
    "mass": "a weight such as 4.6 lb or 2.1 kg",
    "share": "a percentage such as 50 %",
    "heat_flux": "a heat release rate such as 62 kW/m2",
    "heat": "a heat release such as 40 kW min/m2",
    "number": "a plain number such as 120",
    "temperature": "a temperature such as 70 degF or 21 degC",
}
_SPELLINGS: Mapping[str, str] = {
    **dict.fromkeys(("inch", "inches", '"'), "in"),
    **dict.fromkeys(("sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("mins", "minute", "minutes"), "min"),
    **dict.fromkeys(("hr", "hrs", "hour", "hours"), "h"),
    **dict.fromkeys(("lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("ounce", "ounces"), "oz"),
    **dict.fromkeys(("°C", "C", "deg C"), "degC"),
    **dict.fromkeys(("°F", "F", "deg F"), "degF"),
    "feet": "ft", "percent": "%", "inch/min": "in/min", "kW/m²": "kW/m2", "W/cm²": "W/cm2",
    **dict.fromkeys(("kW·min/m2", "kW·min/m²", "kW*min/m2"), "kW min/m2"),
    **dict.fromkeys(("W·min/cm2", "W·min/cm²", "W*min/cm2"), "W min/cm2"),
}  # fmt: skip
#: 4, 4.25, 1/2 or 4 1/2; what comes behind it is the unit.
_WRITTEN = re.compile(
    r"(?P<sign>-?)(?:(?:(?P<whole>[0-9]{1,4}) )?(?P<top>[0-9]{1,4})/(?P<bottom>[0-9]{1,4})"
    r"|(?P<decimal>[0-9]{1,9}(?:\.[0-9]{1,9})?))"
    r"(?![0-9./,]) *(?P<unit>.*)"
)


@dataclass(frozen=True)
class Amount:
    """An amount, exactly. ``value`` is in the first unit of its kind in `UNITS`."""

    value: Fraction
    unit: str
    """The unit it was written in."""
    kind: str
    written: str

    def in_unit(self, unit: str) -> Fraction:
        """The figure in ``unit``, which is one of its kind."""
        return in_unit(self.value, self.kind, unit)


def in_unit(value: Fraction, kind: str, unit: str) -> Fraction:
    """``value``, given in the first unit of ``kind``, in ``unit``."""
    factor, added = UNITS[kind][unit]
    return (value - added) / factor


def read_amount(given: object, kind: str, *, least: int | None = 0) -> Amount:
    """The amount written as ``given``: text, a number with its unit.

    Raises AnswerError where it is none of ``kind``, or below ``least`` (in the unit
    written; None where it may be below 0).
    """
    accepted = _KIND_WORDS[kind]
    if not isinstance(given, str):
        words = {bool: "yes or no", list: "a list", dict: "a mapping"}.get(type(given), "nothing")
        raise AnswerError("not an amount", "", accepted, found_is=words)
    text = " ".join(given.split())
    parts = _WRITTEN.fullmatch(text)
    if parts is None or parts["bottom"] in ("0", "00", "000", "0000"):
        comma = re.match(r"-?[0-9]+,[0-9]", text)
        problem = "a comma in a number" if comma else "not a number with its unit"
        raise AnswerError(problem, given, accepted)
    if parts["decimal"] is not None:
        number = Fraction(parts["decimal"])
    else:
        number = int(parts["whole"] or 0) + Fraction(int(parts["top"]), int(parts["bottom"]))
    number = -number if parts["sign"] else number
    unit = _SPELLINGS.get(parts["unit"], parts["unit"])
    units = UNITS[kind]
    if unit not in units:
        problem = "not a unit for this" if unit else "the unit is missing"
        raise AnswerError(problem, given, accepted, nearest_name(unit, [u for u in units if u]))
    if least is not None and number < least:
        raise AnswerError("below 0", given, accepted)
    factor, added = units[unit]
    return Amount(number * factor + added, unit, kind, text)


def figure(value: Fraction, places: int = 4) -> str:
    """``value`` as a decimal, never rounded: what does not end is cut and shown with ``...``.

    8, 2.5, 7.8333...; up to six places are shown where the decimal ends there.
    """
    scaled = value * 10**6
    if scaled.denominator == 1:
        whole = f"{abs(scaled.numerator):07d}"
        text = f"{whole[:-6]}.{whole[-6:]}".rstrip("0").rstrip(".")
    else:
        cut = f"{abs(value.numerator) * 10**places // value.denominator:0{places + 1}d}"
        text = f"{cut[:-places]}.{cut[-places:]}..."
    return f"-{text}" if value < 0 else text


def shown(value: Fraction, kind: str, unit: str) -> str:
    """``value``, given in the first unit of ``kind``, as a person reads it in ``unit``."""
    number = figure(in_unit(value, kind, unit))
    return f"{number} {unit}".rstrip()
