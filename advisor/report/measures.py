"""Ranges in the unit a reader wants, and what such a unit means to a lay person."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.result import Load
from advisor.facts.declaration import CANONICAL_UNITS
from advisor.facts.quantity import System, convert, shown_unit
from advisor.wording.amounts import unit_text
from advisor.wording.figures import Range, to_digits, with_range

GRAVITY = 9.80665
"""m/s2, standard gravity (ISO 80000-3)."""


@dataclass(frozen=True)
class Shown:
    """A range ready to print, and its unit (empty for a bare number)."""

    value: Range
    unit: str

    def text(self, digits: int = 2) -> str:
        """``0.35 (0.2 to 0.6) N/mm``."""
        return f"{with_range(self.value, digits)} {self.unit}".strip()


class Measures:
    """Turns figures from the engine's canonical units into those of a system."""

    def __init__(self, system: System = System.METRIC) -> None:
        self.system = system

    def shown(self, value: Range, dimension: str, unit: str) -> Shown:
        """``value``, in the canonical unit of ``dimension``, in the reader's unit.

        A dimension that has no units of its own (money, a share) keeps ``unit``.
        """
        if dimension not in CANONICAL_UNITS or dimension == "number":
            return Shown(value, unit_text(unit))
        ends = (convert(v, dimension, self.system) for v in (value.low, value.typical, value.high))
        return Shown(Range(*ends), shown_unit(dimension, self.system))

    def explain(self, loads: tuple[Load, ...]) -> tuple[str, ...]:
        """One sentence for each unlike unit in ``loads``, with a weight one can picture."""
        found: list[str] = []
        explained = {
            "line_force": self._line_force,
            "force": self._force,
            "pressure": self._pressure,
        }
        for dimension, sentence in explained.items():
            typical = [load.value.typical for load in loads if load.dimension == dimension]
            if typical and max(typical) > 0:
                found.append(sentence(max(typical)))
        return tuple(found)

    def _line_force(self, value: float) -> str:
        value = float(to_digits(convert(value, "line_force", self.system)))
        weight = _kilograms(value * 100 / GRAVITY)
        if self.system is System.IMPERIAL:
            return (
                f"lbf/in: pounds of pull for each inch of seam. {to_digits(value)} lbf/in "
                f"along 4 in of seam is the pull of a bag that weighs {_pounds(4 * value)}."
            )
        return (
            f"N/mm: newtons for each millimetre of seam. {to_digits(value)} N/mm along 100 mm "
            f"of seam is the pull of a bag that weighs {weight}."
        )

    def _force(self, value: float) -> str:
        value = float(to_digits(convert(value, "force", self.system)))
        if self.system is System.IMPERIAL:
            return f"lbf: pounds of pull. {to_digits(value)} lbf lifts as many pounds."
        weight = _kilograms(value / GRAVITY)
        return f"N: newtons. {to_digits(value)} N is the pull of a bag that weighs {weight}."

    def _pressure(self, value: float) -> str:
        value = float(to_digits(convert(value, "pressure", self.system)))
        if self.system is System.IMPERIAL:
            return (
                f"psi: pounds on each square inch. {to_digits(value)} psi on a patch of "
                f"4 in by 4 in is {_pounds(16 * value)} resting on it."
            )
        return (
            f"MPa: newtons on each square millimetre. {to_digits(value)} MPa on a patch "
            f"of 100 mm by 100 mm is {_kilograms(value * 1e4 / GRAVITY)} resting on it."
        )


def _kilograms(mass: float) -> str:
    return f"{to_digits(mass)} kg" if mass >= 0.2 else f"{to_digits(1000 * mass)} g"


def _pounds(mass: float) -> str:
    return f"{to_digits(mass)} lb" if mass >= 0.5 else f"{to_digits(16 * mass)} oz"
