"""Shared tools of compiling a pack: names, units, conditions, collected faults."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.facts.declare import FactDecl, Kind
from advisor.facts.faults import Fault, nearest_name

from .conditions import Condition, ConditionError, compile_condition
from .nodes import Ref
from .reading import Loc, PackFile
from .schema_base import ConditionModel, SpreadModel

_NUMBER = re.compile(r"^([-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)(?:\s+(\S.*))?$")


@dataclass
class Compiler:
    """Names and units known so far, and the faults found."""

    facts: Mapping[str, FactDecl]
    node_units: dict[str, str] = field(default_factory=dict)
    sources: frozenset[str] = frozenset()
    faults: list[Fault] = field(default_factory=list)

    def unit_of(self, name: str) -> str | None:
        """Unit of a numeric fact or node; None if it is neither."""
        if name in self.node_units:
            return self.node_units[name]
        decl = self.facts.get(name)
        return decl.unit if decl is not None and decl.kind is Kind.QUANTITY else None

    def source(self, file: PackFile, loc: Loc, key: str | None) -> str:
        """Check that a source is in the bibliography."""
        if key is None:
            self.faults.append(
                file.fault(loc, "the source is missing", "", "a key of sources.yaml")
            )
            return ""
        if key not in self.sources:
            near = nearest_name(key, self.sources)
            self.faults.append(
                file.fault((*loc, "source"), "no such source", key, "a key of sources.yaml", near)
            )
        return key

    def condition(
        self, file: PackFile, loc: Loc, model: ConditionModel | None
    ) -> Condition | None:
        """Compile a condition; a fault and None where it names something unknown."""
        if model is None:
            return None
        try:
            return compile_condition(model, self.facts, self.node_units, number)
        except ConditionError as error:
            near = nearest_name(error.found, error.names) if error.names else ""
            place = (*loc, *error.inside)
            self.faults.append(
                file.fault(place, error.problem, error.found, error.accepted, near)
            )
            return None

    def ref(
        self, file: PackFile, loc: Loc, written: str | float, unit: str | None, scope: str = ""
    ) -> Ref:
        """An input by name (a method's own node first) or a constant with its unit.

        ``unit`` None accepts any unit.
        """
        if isinstance(written, str) and not _NUMBER.match(written):
            name = f"{scope}.{written}" if f"{scope}.{written}" in self.node_units else written
            found = self.unit_of(name)
            if found is None:
                own = [n.removeprefix(f"{scope}.") for n in self.node_units] if scope else []
                names = (*own, *self.node_units, *self.facts)
                self.faults.append(
                    file.fault(
                        loc,
                        "no such node or quantity",
                        written,
                        "a node, a fact that is a quantity, or a number with its unit",
                        nearest_name(written, names),
                    )
                )
            elif unit is not None and found != unit:
                self.faults.append(
                    file.fault(loc, f"{written} is in the wrong unit", found, unit)
                )
            return Ref(name)
        try:
            return Ref(None, number(written, unit or "1"))
        except ConditionError as error:
            self.faults.append(file.fault(loc, error.problem, error.found, error.accepted))
            return Ref(None, 0.0)

    def spread(
        self, file: PackFile, loc: Loc, model: SpreadModel, unit: str
    ) -> tuple[float, float, float]:
        """A spread, its unit (if written) checked."""
        if model.unit is not None and model.unit != unit:
            self.faults.append(file.fault((*loc, "unit"), "wrong unit", model.unit, unit))
        return model.triple


def number(written: str | float, unit: str) -> float:
    """A constant of the pack such as ``3`` or "20 mm" as a number of ``unit``."""
    if isinstance(written, int | float):
        if unit != "1":
            shown = f"{written:.12g}"
            raise ConditionError("the unit is missing", shown, f"such as {shown} {unit}")
        return float(written)
    match = _NUMBER.match(written)
    if match is None:
        raise ConditionError("not a number with a unit", written, f"a number in {unit}")
    if (match.group(2) or "1") != unit:
        raise ConditionError("wrong unit", written, f"a number in {unit}")
    value = float(match.group(1))
    if not math.isfinite(value):
        raise ConditionError("not a finite number", written, f"a number in {unit}")
    return value
