"""Unit names: the spellings a technician uses, and pint behind everything else.

Canonical units and their usual spellings are looked up here, so that a metric case
never loads pint. Only names go to pint, never numbers: it evaluates what it reads.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from advisor.facts.declaration import CANONICAL_UNITS

#: mm, exact by definition (international yard, 1959).
INCH = 25.4

#: A dimension as it is named in a sentence.
DIMENSION_WORDS: Mapping[str, str] = {
    "number": "a plain number",
    "length": "a length",
    "area": "an area",
    "force": "a force",
    "line_force": "a force per length",
    "pressure": "a pressure",
    "mass": "a mass",
    "temperature": "a temperature",
    "time": "a time",
    "age": "an age",
    "rate": "a rate",
    "volume": "a volume",
    "per_year": "a number of times a year",
}

#: Answers that a dimension accepts, to show in a message.
EXAMPLES: Mapping[str, tuple[str, ...]] = {
    "number": ("3", "0.5", "3..5"),
    "length": ("120 mm", "12 cm", "4.5 in"),
    "area": ("400 mm2", "4 cm2", "0.6 in2"),
    "force": ("14 N", "3 lbf", "1.5 kgf"),
    "line_force": ("0.35 N/mm", "2 lbf/in"),
    "pressure": ("0.2 MPa", "200 kPa", "29 psi"),
    "mass": ("1.5 kg", "800 g", "3 lb"),
    "temperature": ("-5 degC", "23 degF"),
    "time": ("20 min", "1.5 h"),
    "age": ("8 yr", "18 months", "3 weeks"),
    "rate": ("0.5 mm/yr", "0.02 in/yr"),
    "volume": ("0.6 l", "600 ml", "20 fl oz"),
    "per_year": ("250 per year", "5 per week"),
}

#: Canonical units as pint names them.
_PINT_CANONICAL: Mapping[str, str] = {
    "length": "millimeter",
    "area": "millimeter**2",
    "force": "newton",
    "line_force": "newton/millimeter",
    "pressure": "megapascal",
    "mass": "kilogram",
    "temperature": "degree_Celsius",
    "time": "minute",
    "age": "year",
    "rate": "millimeter/year",
    "volume": "liter",
    "per_year": "1/year",
}

# Spellings below are after `_tidy`: lower case, "per" as "/", no "^", "²" as "2".
_CANONICAL_SPELLINGS: Mapping[str, frozenset[str]] = {
    "length": frozenset(["mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters"]),
    "area": frozenset(("mm2", "sq mm", "square mm", "square millimetres")),
    "force": frozenset(["n", "newton", "newtons"]),
    "line_force": frozenset(["n/mm", "newton/mm", "newtons/mm"]),
    "pressure": frozenset(["megapascal", "megapascals", "n/mm2"]),
    "mass": frozenset(["kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"]),
    "temperature": frozenset(
        ("degc", "°c", "c", "celsius", "deg c", "degree c", "degrees c", "degrees celsius")
    ),
    "time": frozenset(["min", "mins", "minute", "minutes"]),
    "age": frozenset(["yr", "yrs", "y", "year", "years"]),
    "rate": frozenset(["mm/yr", "mm/year", "mm/y"]),
    "volume": frozenset(["l", "litre", "litres", "liter", "liters"]),
    "per_year": frozenset(("1/yr", "1/year", "/yr", "/year", "times/year", "times/yr")),
}

_INCH = dict.fromkeys(("in", "ins", "inch", "inches", '"', "″", "''"), "inch")
_FOOT = dict.fromkeys(("ft", "foot", "feet", "'", "′"), "foot")
_TIMES = {
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), "hour"),
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), "second"),
    **dict.fromkeys(("d", "day", "days"), "day"),
    **dict.fromkeys(("wk", "wks", "week", "weeks"), "week"),
    **dict.fromkeys(("mo", "month", "months"), "month"),
    **dict.fromkeys(("min", "mins", "minute", "minutes"), "minute"),
    **dict.fromkeys(("yr", "yrs", "year", "years"), "year"),
}
#: Other spellings, with the name that pint knows. They matter where pint would read
#: something else ("fl oz" as femtolitre ounces, "C" as coulomb) or nothing ("sq in").
_OTHER_SPELLINGS: Mapping[str, Mapping[str, str]] = {
    "length": {
        **_INCH, **_FOOT, "cm": "centimeter", "m": "meter",
        **dict.fromkeys(("mil", "mils", "thou"), "thou"), "yd": "yard",
    },
    "area": {
        **dict.fromkeys(("in2", "sq in", "square in", "square inches"), "inch**2"),
        **dict.fromkeys(("ft2", "sq ft", "square feet"), "foot**2"),
        **dict.fromkeys(("cm2", "sq cm"), "centimeter**2"), "sq m": "meter**2", "m2": "meter**2",
    },
    "force": {
        **dict.fromkeys(("lbf", "lbsf", "pounds force", "pound force"), "force_pound"),
        **dict.fromkeys(("ozf", "ounces force", "ounce force"), "force_ounce"),
        **dict.fromkeys(("kgf", "kp"), "force_kilogram"), "gf": "force_gram",
    },
    "line_force": {
        **dict.fromkeys(("lbf/in", "lbf/inch", "pli"), "force_pound/inch"),
        "n/cm": "newton/centimeter", "n/m": "newton/meter",
    },
    "pressure": {"psi": "psi", "kpa": "kilopascal", "bar": "bar"},
    "mass": {
        **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "pound"),
        **dict.fromkeys(("oz", "ounce", "ounces"), "ounce"), "g": "gram",
    },
    "temperature": {
        **dict.fromkeys(
            ("degf", "°f", "f", "fahrenheit", "deg f", "degree f", "degrees f",
             "degrees fahrenheit"),
            "degree_Fahrenheit",
        ),
        "k": "kelvin",
    },
    "time": _TIMES,
    "age": _TIMES,
    "rate": {f"{a}/{b}": f"{x}/{y}" for a, x in _INCH.items() for b, y in _TIMES.items()},
    "volume": {
        **dict.fromkeys(("fl oz", "floz", "fl. oz", "fluid ounce", "fluid ounces"), "fluid_ounce"),
        "ml": "milliliter", "cl": "centiliter", "dl": "deciliter",
    },
    "per_year": {f"{one}/{a}": f"1/{x}" for a, x in _TIMES.items() for one in ("", "1", "times")},
}  # fmt: skip

#: Units of mass that stand for a force in speech ("it pulls 3 lb").
_WEIGHTS = re.compile(r"\b(lb|kg|oz|g)s?\b")
#: "mPa" beside "MPa" is a slip of the finger worth a factor of 1e9.
_SLIPS = frozenset({"mPa", "mpa", "Mpa", "MPA"})

_ALLOWED = re.compile(r"[A-Za-z°µ/ *^0-9.-]{1,30}")
_TERM = r"[A-Za-zµ]{1,20}(?:-?[1-4])?"
_EXPRESSION = re.compile(rf"(?:1?/)?{_TERM}(?:[/* ]{_TERM})*")


class UnknownUnit(Exception):  # noqa: N818 - not an error of the program
    """No such unit; ``nearest`` is an accepted one that looks like it, or ``""``."""

    def __init__(self, nearest: str) -> None:
        """Keep the suggestion."""
        super().__init__(nearest)
        self.nearest = nearest


class WrongDimension(Exception):  # noqa: N818 - not an error of the program
    """A unit of another dimension; ``words`` says which ("a mass") or is ``""``."""

    def __init__(self, words: str, nearest: str) -> None:
        """Keep the words and the unit that may be meant."""
        super().__init__(words, nearest)
        self.words = words
        self.nearest = nearest


@dataclass(frozen=True)
class Affine:
    """``canonical = scale * value + offset``."""

    scale: float
    offset: float = 0.0

    def to_canonical(self, value: float) -> float:
        """From the unit to the canonical unit, free of binary dust ("12 cm" is 120.0 mm)."""
        return self._clean(self.scale * value + self.offset)

    def from_canonical(self, value: float) -> float:
        """From the canonical unit to the unit."""
        return self._clean((value - self.offset) / self.scale)

    def _clean(self, value: float) -> float:
        if (self.scale == 1.0 and self.offset == 0.0) or not math.isfinite(value):
            return value
        # An offset leaves dust of its own size, which a small result shows in full.
        return (round(value, 9) if self.offset else float(f"{value:.12g}")) + 0.0


SAME = Affine(1.0)


def unit_names(dimension: str) -> tuple[str, ...]:
    """Spellings that are listed for ``dimension``, the canonical unit first."""
    spelled = _CANONICAL_SPELLINGS.get(dimension, frozenset())
    other = _OTHER_SPELLINGS.get(dimension, {})
    return (CANONICAL_UNITS[dimension], *sorted(spelled), *sorted(other))


@lru_cache(maxsize=512)
def unit_conversion(name: str, dimension: str) -> Affine:
    """How a value in unit ``name`` becomes one in the canonical unit of ``dimension``.

    Raises UnknownUnit or WrongDimension. ``dimension`` is any but "number".
    """
    tidy = _tidy(name)
    lower = tidy.casefold()
    if tidy == CANONICAL_UNITS[dimension] or lower in _CANONICAL_SPELLINGS[dimension]:
        return SAME
    listed = _OTHER_SPELLINGS[dimension].get(lower)
    if listed is not None:
        return _affine(listed, dimension)
    if tidy in _SLIPS:
        raise UnknownUnit("MPa" if dimension == "pressure" else "")
    for other in CANONICAL_UNITS:
        # "120 kg" as a length is recognised from the lists, without loading pint.
        if lower in _CANONICAL_SPELLINGS.get(other, ()) and not _alike(other, dimension):
            raise WrongDimension(_words_for(other), _meant(tidy, dimension))
    return _through_pint(tidy, dimension)


def _tidy(name: str) -> str:
    text = name.strip().replace("²", "2").replace("³", "3").replace("μ", "µ")
    text = re.sub(r"\s+", " ", text).removesuffix(".")
    text = re.sub(r"(?:^| )(?:per|an?) ", "/", text)
    text = re.sub(r" ?/ ?", "/", text)
    return re.sub(r"(?<=[A-Za-z])(?:\^|\*\*)(?=-?[0-9])", "", text)


def _alike(a: str, b: str) -> bool:
    return a == b or {a, b} == {"time", "age"}


def _words_for(dimension: str) -> str:
    return DIMENSION_WORDS["time"] if dimension == "age" else DIMENSION_WORDS[dimension]


def _meant(tidy: str, dimension: str) -> str:
    if dimension not in ("force", "line_force", "pressure"):
        return ""
    meant = _WEIGHTS.sub(r"\1f", tidy)
    return meant if meant != tidy else ""


@lru_cache(maxsize=1)
def _registry() -> Any:
    import pint

    return pint.UnitRegistry()


def _through_pint(tidy: str, dimension: str) -> Affine:
    registry = _registry()
    unit = None
    for expression in (_any_spelling(tidy.casefold()), _expression(tidy)):
        if unit is None and expression:
            unit = _parse(registry, expression)
    if unit is None:
        from advisor.facts.faults import nearest_name

        raise UnknownUnit(nearest_name(tidy, unit_names(dimension)))
    if unit.dimensionality != registry.Unit(_PINT_CANONICAL[dimension]).dimensionality:
        raise WrongDimension(_words_of(registry, unit), _meant(tidy, dimension))
    return _affine(str(unit), dimension)


def _any_spelling(lower: str) -> str:
    """The pint name of a spelling that is listed for some dimension and no other unit."""
    names = {table[lower] for table in _OTHER_SPELLINGS.values() if lower in table}
    return names.pop() if len(names) == 1 and len(lower) > 1 else ""


def _expression(tidy: str) -> str:
    """``tidy`` as a product of named units with small exponents, or ``""``."""
    if not _ALLOWED.fullmatch(tidy) or not _EXPRESSION.fullmatch(tidy):
        return ""
    text = re.sub(r"(?<=[A-Za-zµ])(-?[1-4])", r"**\1", tidy)
    return f"1{text}" if text.startswith("/") else text


def _parse(registry: Any, expression: str) -> Any:
    try:
        return registry.Unit(expression)
    except Exception:  # pint raises many kinds, some from the tokenizer underneath
        return None


def _words_of(registry: Any, unit: Any) -> str:
    for dimension, name in _PINT_CANONICAL.items():
        if unit.dimensionality == registry.Unit(name).dimensionality:
            return _words_for(dimension)
    return ""


def _affine(pint_name: str, dimension: str) -> Affine:
    registry = _registry()
    try:
        unit, target = registry.Unit(pint_name), registry.Unit(_PINT_CANONICAL[dimension])
        zero = float(registry.Quantity(0.0, unit).to(target).magnitude)
        one = float(registry.Quantity(1.0, unit).to(target).magnitude)
    except Exception as error:  # a unit pint can name but not convert
        raise UnknownUnit("") from error
    if dimension != "temperature":
        zero = 0.0
    scale = one - zero
    if not (math.isfinite(scale) and scale > 0.0):
        raise UnknownUnit("")
    return Affine(scale, zero)
