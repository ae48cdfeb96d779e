"""Quantities as a technician writes them, and as they are shown."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import replace
from enum import StrEnum
from functools import lru_cache

from advisor.facts.case import Span
from advisor.facts.declaration import CANONICAL_UNITS
from advisor.facts.faults import AnswerError
from advisor.facts.units import (
    DIMENSION_WORDS,
    EXAMPLES,
    SAME,
    Affine,
    UnknownUnit,
    WrongDimension,
    unit_conversion,
    unit_names,
)

_LONGEST = 100
# Atomic, or the exponent of "1e-5 mm" would be taken for the end of a range.
_NUMBER = (
    r"(?>[-+]?(?:[0-9]{1,6} [0-9]{1,4}/[0-9]{1,4}|[0-9]{1,6}/[0-9]{1,4}"
    r"|(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,4})?))"
)
_LOW_UNIT = r"(?:[A-Za-z°µ\"'′″/²³^ ]|(?<=[A-Za-z^])[23])*?"
_UNIT = r"[^0-9\s].*|1?/.*|"
_ONE = re.compile(rf"({_NUMBER})\s*({_UNIT})")
_RANGE = re.compile(rf"({_NUMBER})\s*({_LOW_UNIT})\s*(?:\.\.|\bto\b|-)\s*({_NUMBER})\s*({_UNIT})")
_NOT_FINITE = re.compile(r"[-+]?\.?(?:nan|inf|infinity)\b", re.IGNORECASE)
_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")


class QuantityError(AnswerError):
    """A quantity that cannot be used: problem, found, accepted, nearest, found_is."""


class System(StrEnum):
    """Units that a person reads."""

    METRIC = "metric"
    IMPERIAL = "imperial"


_METRIC_SHOWN: Mapping[str, str] = {
    **CANONICAL_UNITS,
    "number": "",
    "area": "mm²",
    "temperature": "°C",
    "per_year": "per year",
}
_IMPERIAL_SHOWN: Mapping[str, str] = {
    **_METRIC_SHOWN,
    "length": "in",
    "area": "in²",
    "force": "lbf",
    "line_force": "lbf/in",
    "pressure": "psi",
    "mass": "lb",
    "temperature": "°F",
    "rate": "in/yr",
    "volume": "fl oz",
}


def accepted_text(dimension: str) -> str:
    """What to write for a dimension: "a length such as 120 mm, 12 cm, 4.5 in"."""
    return f"{DIMENSION_WORDS[dimension]} such as {', '.join(EXAMPLES[dimension])}"


def parse_quantity(text_or_number: object, dimension: str) -> Span:
    """A value or a range in the canonical unit of ``dimension``, with the words kept.

    Accepts "120 mm", "4.5 in", "4 1/2 in", "120..130 mm", "120 to 130 mm", "120-130 mm",
    "-20 to -5 degC", "9 mm to 1.2 cm"; for "number" also a bare int or float. ``dimension``
    is a key of CANONICAL_UNITS (KeyError otherwise). Fluid ounces are US, a year has
    365.25 days. Raises QuantityError.
    """
    words = DIMENSION_WORDS[dimension]
    if isinstance(text_or_number, bool) or not isinstance(text_or_number, (int, float, str)):
        raise QuantityError(f"not {words}", str(text_or_number), accepted_text(dimension))
    written = _as_written(text_or_number)
    text = _tidy(written)
    if not text:
        raise _bad("no value is given", "", dimension)
    if len(text) > _LONGEST:
        raise _bad(f"not {words}", written, dimension)
    return _span(text, written, dimension)


def _as_written(raw: int | float | str) -> str:
    if isinstance(raw, str):
        return raw.strip()
    try:
        return plain_number(raw)
    except OverflowError:  # an int that no float can hold
        return "-inf" if raw < 0 else "inf"


def plain_number(value: float) -> str:
    """The shortest text that reads back as the same number: "120", "0.35"."""
    return repr(float(value)).removesuffix(".0")


def _tidy(text: str) -> str:
    for dash in "−–—":
        text = text.replace(dash, "-")
    return re.sub(r"\s+", " ", text.replace("…", "..")).strip()


def _bad(problem: str, found: str, dimension: str, nearest: str = "") -> QuantityError:
    return QuantityError(problem, found, accepted_text(dimension), nearest)


def _span(text: str, written: str, dimension: str) -> Span:
    if _NOT_FINITE.match(text):
        raise _bad("not a finite number", written, dimension)
    if _COMMA.search(text):
        # "1,500" may mean either 1500 or 1.5, so nothing is suggested for it.
        point = "" if re.search(r",[0-9]{3}(?![0-9])", text) else _COMMA.sub(".", text)
        raise _bad("a comma in a number is not accepted, use a point", written, dimension, point)
    ranged = _RANGE.fullmatch(text)
    if ranged:
        low, low_unit, high, unit = ranged.groups()
        return _ends((low, low_unit.strip() or unit), (high, unit), written, dimension)
    single = _ONE.fullmatch(text)
    if single is None:
        if dimension != "number" and text.casefold() in map(str.casefold, unit_names(dimension)):
            raise _bad("the number is missing", written, dimension)
        raise _bad(f"not {DIMENSION_WORDS[dimension]}", written, dimension)
    return _ends(single.groups(), None, written, dimension)


def _ends(low: tuple[str, ...], high: tuple[str, ...] | None, written: str, dimension: str) -> Span:
    from_low = _value(low[0], low[1], written, dimension)
    if high is None:
        return Span(from_low, from_low, written)
    to_high = _value(high[0], high[1], written, dimension)
    if from_low > to_high:
        units = [low[1], high[1]] if low[1] != high[1] else ["", low[1]]
        swapped = f"{high[0]} {units[1]}" if units[0] else high[0]
        swapped += f" to {low[0]} {units[0] or units[1]}"
        problem = "the range runs backwards, the smaller value comes first"
        raise _bad(problem, written, dimension, swapped.strip())
    return Span(from_low, to_high, written)


def _value(number: str, unit: str, written: str, dimension: str) -> float:
    value = _float(number)
    if not math.isfinite(value):
        raise _bad("not a finite number", written, dimension)
    converted = _conversion(number, unit, written, dimension).to_canonical(value)
    if not math.isfinite(converted):
        raise _bad("not a finite number", written, dimension)
    return converted + 0.0


def _float(number: str) -> float:
    if "/" not in number:
        return float(number)
    sign = -1.0 if number.startswith("-") else 1.0
    *whole, fraction = number.lstrip("+-").split(" ")
    over, under = fraction.split("/")
    if float(under) == 0.0:
        return math.inf
    return sign * (sum(map(float, whole)) + float(over) / float(under))


def _conversion(number: str, unit: str, written: str, dimension: str) -> Affine:
    words = DIMENSION_WORDS[dimension]
    if dimension == "number":
        if unit:
            raise _bad("a plain number is wanted, without a unit", written, dimension)
        return SAME
    if not unit:
        raise _bad("the unit is missing", written, dimension)
    try:
        return unit_conversion(unit, dimension)
    except UnknownUnit as error:
        nearest = f"{number} {error.nearest}" if error.nearest else ""
        raise _bad("the unit is not known", written, dimension, nearest) from None
    except WrongDimension as error:
        raise QuantityError(
            f"not {words}",
            written,
            accepted_text(dimension),
            f"{number} {error.nearest}" if error.nearest else "",
            found_is=error.words,
        ) from None


def shown_unit(dimension: str, system: System) -> str:
    """Unit of ``dimension`` as a person reads it: "mm", "in", "°F"; "" for plain numbers."""
    return (_METRIC_SHOWN if system is System.METRIC else _IMPERIAL_SHOWN)[dimension]


@lru_cache(maxsize=64)
def _shown_conversion(dimension: str, system: System) -> Affine:
    if _is_canonical(dimension, system):
        return SAME
    return unit_conversion(_IMPERIAL_SHOWN[dimension], dimension)


def _is_canonical(dimension: str, system: System) -> bool:
    return shown_unit(dimension, system) == _METRIC_SHOWN[dimension]


def convert(value: float, dimension: str, system: System) -> float:
    """From the canonical unit to the unit that ``system`` shows."""
    return _shown_conversion(dimension, system).from_canonical(value)


def back(value: float, dimension: str, system: System) -> float:
    """From the unit that ``system`` shows to the canonical unit; undoes `convert`."""
    return _shown_conversion(dimension, system).to_canonical(value)


def show(value: float | Span, dimension: str, system: System) -> str:
    """``value`` (canonical unit) as a person reads it, to three significant digits.

    "120 mm", "4.72 in", "120 to 130 mm", "-5 °C". Digits before the point are never
    rounded away. A converted figure keeps its trailing zeros ("2.00 lbf/in"), so that it
    does not look measured; temperatures have one decimal at most.
    """
    span = value if isinstance(value, Span) else Span(value, value)
    low = _digits(convert(span.low, dimension, system), dimension, system)
    high = _digits(convert(span.high, dimension, system), dimension, system)
    text = low if low == high else f"{low} to {high}"
    return f"{text} {shown_unit(dimension, system)}".rstrip()


def _digits(value: float, dimension: str, system: System) -> str:
    if not math.isfinite(value):
        return "not known" if math.isnan(value) else "unlimited"
    if value == 0.0:
        return "0"
    if dimension == "temperature":
        return _stripped(f"{value:.1f}")
    size = math.floor(math.log10(abs(float(f"{value:.3g}"))))
    if size < -6 or size > 14:
        return f"{value:.3g}"
    text = f"{value:.{max(0, 2 - size)}f}"
    return _stripped(text) if _is_canonical(dimension, system) else text


def _stripped(text: str) -> str:
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def with_words(span: Span, dimension: str, system: System) -> Span:
    """``span`` with its words rewritten in ``system``; the figures do not change."""
    return replace(span, written=show(span, dimension, system))
