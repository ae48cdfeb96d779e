"""Shared tools of compiling a pack: names, units, conditions, collected faults."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass, field

from advisor.facts.declaration import FactDecl, Kind
from advisor.facts.faults import Fault, nearest_name
from advisor.rulegraph.compiling.conditions import ConditionError, compile_condition
from advisor.rulegraph.model.conditions import Condition
from advisor.rulegraph.model.nodes import Ref
from advisor.rulegraph.reading.pack_files import Loc, Lost, PackFile
from advisor.rulegraph.schema.base import ConditionModel, SpreadModel

_NUMBER = re.compile(r"^([-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)(?:\s+(\S.*))?$")
#: Units in which a rule may give a figure below 0.
MAY_BE_NEGATIVE = ("degC",)


@dataclass
class Compiler:
    """Names and units known so far, and the faults found."""

    facts: Mapping[str, FactDecl]
    node_units: dict[str, str] = field(default_factory=dict)
    sources: frozenset[str] = frozenset()
    faults: list[Fault] = field(default_factory=list)
    lost: Lost = field(default_factory=Lost)
    made: dict[Hashable, Condition] = field(default_factory=dict)
    """Conditions compiled so far: those that ask the same are one."""

    def unknown(
        self,
        file: PackFile,
        loc: Loc,
        problem: str,
        name: str,
        known: Iterable[str],
        accepted: str = "",
        *,
        at_key: bool = False,
    ) -> None:
        """A fault for a name that is none of ``known``, with the nearest that is.

        None where it may be declared in what could not be used, which is a fault already.
        """
        known = list(known)
        if self.lost.names(name) or (self.lost.anything and not known):
            return
        accepted, near = accepted or ", ".join(known), nearest_name(name, known)
        self.faults.append(file.fault(loc, problem, name, accepted, near, at_key=at_key))

    def check_names(
        self,
        file: PackFile,
        loc: Loc,
        names: Iterable[str],
        known: Collection[str],
        problem: str,
        accepted: str = "",
    ) -> None:
        """Faults for each of ``names``, keys or a list at ``loc``, that is none of ``known``."""
        keyed = isinstance(names, Mapping)
        for i, name in enumerate(names):
            if name not in known:
                place = (*loc, name if keyed else i)
                self.unknown(file, place, problem, name, known, accepted, at_key=keyed)

    def unit_of(self, name: str) -> str | None:
        """Unit of a numeric fact or node; None if it is neither."""
        if name in self.node_units:
            return self.node_units[name]
        decl = self.facts.get(name)
        return decl.unit if decl is not None and decl.kind is Kind.QUANTITY else None

    def full_name(self, written: str, scope: str) -> str:
        """A name as a method means it: its own node, one of the method it varies, or any."""
        owners = (scope, scope.partition(".")[0])
        names = (f"{owner}.{written}" for owner in owners)
        return next((name for name in names if name in self.node_units), written)

    def source(self, file: PackFile, loc: Loc, key: str | None) -> str:
        """Check that a source is in the bibliography."""
        place, accepted = (*loc, "source"), "a key of sources.yaml"
        if key is None:
            if not file.gaps(loc):
                self.faults.append(file.fault(loc, "the source is missing", "", accepted))
            return ""
        if key not in self.sources:
            self.unknown(file, place, "no such source", key, self.sources, accepted)
        return key

    def condition(
        self, file: PackFile, loc: Loc, model: ConditionModel | None
    ) -> Condition | None:
        """Compile a condition; a fault and None where it names something unknown."""
        if model is None:
            return None
        try:
            return compile_condition(model, self.facts, self.node_units, number, self.made)
        except ConditionError as first:
            for error in first.each():
                place, problem, found = (*loc, *error.inside), error.problem, error.found
                if error.names is not None:
                    self.unknown(file, place, problem, found, error.names, error.accepted)
                elif not file.gaps(place):
                    self.faults.append(file.fault(place, problem, found, error.accepted))
            return None

    def ref(
        self, file: PackFile, loc: Loc, written: str | float, unit: str | None, scope: str = ""
    ) -> Ref:
        """An input by name (a method's own node first) or a constant with its unit.

        ``unit`` None accepts any unit.
        """
        if isinstance(written, str) and not _NUMBER.match(written):
            name = self.full_name(written, scope)
            found = self.unit_of(name)
            if found is None:
                own = [n.removeprefix(f"{scope}.") for n in self.node_units] if scope else []
                names = (*own, *self.node_units, *self.facts)
                accepted = "a node, a fact that is a quantity, or a number with its unit"
                self.unknown(file, loc, "no such node or quantity", written, names, accepted)
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
        """A spread, its unit (if written) checked; only temperatures go below 0."""
        if model.unit is not None and model.unit != unit:
            self.faults.append(file.fault((*loc, "unit"), "wrong unit", model.unit, unit))
        low = model.triple[0]
        if low < 0.0 and unit not in MAY_BE_NEGATIVE:
            # A force or strength below 0 would pull a damage together.
            self.faults.append(file.fault(loc, "below 0", f"{low:.12g}", f"0 {unit} or more"))
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
