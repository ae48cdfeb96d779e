"""From a condition as it is written in a rule file to one that is tested over all worlds."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import contextmanager

import numpy as np

from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.conditions import (
    AllOrAny,
    Condition,
    IsOneOf,
    IsYes,
    Not,
    Within,
)
from advisor.rulegraph.schema.base import ConditionModel

#: Turns a written limit such as "20 mm" into a number of the given unit.
Quantity = Callable[[str | float, str], float]


class ConditionError(ValueError):
    """A condition that names something unknown or compares the wrong kind."""

    def __init__(
        self, problem: str, found: str, accepted: str, names: tuple[str, ...] | None = None
    ) -> None:
        """``names`` are those one of which is wanted; None where it is no name that is wrong."""
        super().__init__(problem)
        self.problem = problem
        self.found = found
        self.accepted = accepted
        self.names = names
        self.inside: tuple[str | int, ...] = ()
        """Where within the condition it stands."""
        self.others: list[ConditionError] = []
        """What else is wrong in the same condition."""

    def each(self) -> Iterator[ConditionError]:
        """This error and all others of the condition."""
        yield self
        for other in self.others:
            yield from other.each()


@contextmanager
def _placed(*step: str | int) -> Iterator[None]:
    """Put the step before the place of an error found deeper down."""
    try:
        yield
    except ConditionError as error:
        for one in error.each():
            one.inside = (*step, *one.inside)
        raise


def _raise_all(errors: list[ConditionError]) -> None:
    if errors:
        errors[0].others += errors[1:]
        raise errors[0]


def compile_condition(
    model: ConditionModel,
    facts: Mapping[str, FactDecl],
    node_units: Mapping[str, str],
    quantity: Quantity,
    made: dict[Hashable, Condition] | None = None,
) -> Condition:
    """Compile ``model``; raises ConditionError for unknown names and wrong comparisons.

    ``quantity`` turns a written limit such as "20 mm" into a number of the given unit.
    What is in ``made`` already, whole or part, is not made again.
    """
    made = {} if made is None else made
    condition = _compiled(model, facts, node_units, quantity, made)
    return made.setdefault((type(condition), condition.asks), condition)


def _compiled(
    model: ConditionModel,
    facts: Mapping[str, FactDecl],
    node_units: Mapping[str, str],
    quantity: Quantity,
    made: dict[Hashable, Condition],
) -> Condition:
    if model.all is not None or model.any is not None:
        members = model.all if model.all is not None else model.any
        assert members is not None
        if not members:
            raise ConditionError("an empty list", "[]", "at least one condition")
        word = "any" if model.any is not None else "all"
        parts, errors = [], []
        for i, member in enumerate(members):
            try:
                with _placed(word, i):
                    parts.append(compile_condition(member, facts, node_units, quantity, made))
            except ConditionError as error:
                errors.append(error)
        _raise_all(errors)
        return AllOrAny(tuple(parts), any_will_do=model.any is not None)
    if model.not_ is not None:
        with _placed("not"):
            return Not(compile_condition(model.not_, facts, node_units, quantity, made))
    if model.node is not None:
        unit = node_units.get(model.node)
        if unit is None:
            raise ConditionError("no such node", model.node, "a node", tuple(node_units))
        return _limits(model, model.node, unit, quantity)
    assert model.fact is not None
    return _on_fact(model, model.fact, facts, quantity)


def _on_fact(
    model: ConditionModel, name: str, facts: Mapping[str, FactDecl], quantity: Quantity
) -> Condition:
    decl = facts.get(name)
    if decl is None:
        raise ConditionError("no such fact", name, "a declared fact", tuple(facts))
    if decl.kind is Kind.QUANTITY:
        return _limits(model, name, decl.unit, quantity)
    wanted = model.is_ if model.is_ is not None else model.is_not
    if decl.kind is Kind.YES_NO:
        if not isinstance(model.is_, bool):
            raise ConditionError(f"{name} is answered yes or no", repr(wanted), "is: yes, is: no")
        return IsYes(name, model.is_)
    if decl.kind is not Kind.CHOICE or wanted is None:
        raise ConditionError(f"{name} is not compared like this", repr(wanted), "is or is_not")
    if isinstance(wanted, bool):
        wanted = "yes" if wanted else "no"
    keys = (wanted,) if isinstance(wanted, str) else wanted
    problem, accepted = f"{name} has no such option", ", ".join(decl.keys)
    _raise_all([
        ConditionError(problem, key, accepted, decl.keys) for key in keys if key not in decl.keys
    ])
    meant = frozenset(kind for key in keys for kind in decl.kinds_of(key))
    codes = tuple(i for i, key in enumerate(decl.keys) if key in meant)
    return IsOneOf(name, meant, codes, negate=model.is_ is None)


def _limits(model: ConditionModel, name: str, unit: str, quantity: Quantity) -> Condition:
    if model.at_least is None and model.at_most is None:
        raise ConditionError(f"{name} is a number", "is or is_not", "at_least or at_most")
    low = -np.inf if model.at_least is None else quantity(model.at_least, unit)
    high = np.inf if model.at_most is None else quantity(model.at_most, unit)
    return Within(name, float(low), float(high))
