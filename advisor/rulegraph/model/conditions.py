"""Conditions of the rule pack, compiled once and tested over all worlds at a time."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from advisor.facts.case import Case, Span

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    #: Values over the worlds: choices as codes, yes/no as bool, numbers as float.
    Values = Mapping[str, NDArray[np.generic]]
    Mask = NDArray[np.bool_]
else:
    from advisor.rulegraph.model.lazy_numpy import np

    Values = Mask = Any


def code_type(options: int) -> np.dtype[np.unsignedinteger]:
    """The smallest unsigned integers that number so many options, from 0."""
    return np.min_scalar_type(max(options - 1, 0))


class Condition(ABC):
    """Something that is true or false in every world; each is equal to itself only.

    ``compile_condition`` hands out one object for all conditions that ask the same.
    """

    @abstractmethod
    def names(self) -> Iterator[str]:
        """Facts and nodes it reads."""

    @cached_property
    def reads(self) -> frozenset[str]:
        """Facts and nodes it reads, each once."""
        return frozenset(self.names())

    @property
    @abstractmethod
    def asks(self) -> Hashable:
        """Equal for conditions that ask the same of the same parts."""

    @abstractmethod
    def test(self, values: Values) -> Mask:
        """Mask over the worlds in which it is true."""

    @abstractmethod
    def known(self, case: Case) -> bool | None:
        """True or false where the given facts settle it, else None."""


@dataclass(frozen=True, eq=False)
class IsOneOf(Condition):
    """A choice is one of some options, or (``negate``) none of them."""

    name: str
    keys: frozenset[str]
    codes: tuple[int, ...]
    """Places of ``keys`` among the options."""
    negate: bool

    def names(self) -> Iterator[str]:
        yield self.name

    @property
    def asks(self) -> Hashable:
        return self.name, self.keys, self.negate

    def test(self, values: Values) -> Mask:
        column = values[self.name]
        if len(self.codes) == 1:
            return np.asarray(column != self.codes[0] if self.negate else column == self.codes[0])
        mask = np.zeros(column.shape, dtype=np.bool_)
        for code in self.codes:
            mask |= column == code
        return ~mask if self.negate else mask

    def known(self, case: Case) -> bool | None:
        value = case.facts.get(self.name)
        if not isinstance(value, tuple):
            return None
        if len(value) == 1:
            return (value[0] in self.keys) != self.negate
        inside = [key in self.keys for key in value]
        if all(inside):
            return not self.negate
        if not any(inside):
            return self.negate
        return None


@dataclass(frozen=True, eq=False)
class IsYes(Condition):
    """A yes/no fact is as wanted."""

    name: str
    wanted: bool

    def names(self) -> Iterator[str]:
        yield self.name

    @property
    def asks(self) -> Hashable:
        return self.name, self.wanted

    def test(self, values: Values) -> Mask:
        return np.asarray(values[self.name] == self.wanted)

    def known(self, case: Case) -> bool | None:
        value = case.facts.get(self.name)
        return value == self.wanted if isinstance(value, bool) else None


@dataclass(frozen=True, eq=False)
class Within(Condition):
    """A quantity lies at or above ``low`` and at or below ``high``."""

    name: str
    low: float
    high: float

    def names(self) -> Iterator[str]:
        yield self.name

    @property
    def asks(self) -> Hashable:
        return self.name, self.low, self.high

    def test(self, values: Values) -> Mask:
        column = np.asarray(values[self.name], dtype=np.float64)
        return np.asarray((column >= self.low) & (column <= self.high))

    def known(self, case: Case) -> bool | None:
        value = case.facts.get(self.name)
        if not isinstance(value, Span):
            return None
        if self.low <= value.low and value.high <= self.high:
            return True
        if value.high < self.low or value.low > self.high:
            return False
        return None


@dataclass(frozen=True, eq=False)
class AllOrAny(Condition):
    """All (or any) of several conditions."""

    parts: tuple[Condition, ...]
    any_will_do: bool

    def names(self) -> Iterator[str]:
        for part in self.parts:
            yield from part.names()

    @property
    def asks(self) -> Hashable:
        return self.any_will_do, *self.parts

    def test(self, values: Values) -> Mask:
        mask = self.parts[0].test(values)
        for part in self.parts[1:]:
            mask = mask | part.test(values) if self.any_will_do else mask & part.test(values)
        return mask

    def known(self, case: Case) -> bool | None:
        settled = True
        for part in self.parts:
            answer = part.known(case)
            if answer is self.any_will_do:
                return answer
            settled = settled and answer is not None
        return not self.any_will_do if settled else None


@dataclass(frozen=True, eq=False)
class Not(Condition):
    """The opposite."""

    part: Condition

    def names(self) -> Iterator[str]:
        yield from self.part.names()

    @property
    def asks(self) -> Hashable:
        return None, self.part

    def test(self, values: Values) -> Mask:
        return ~self.part.test(values)

    def known(self, case: Case) -> bool | None:
        answer = self.part.known(case)
        return None if answer is None else not answer


def simple_parts(condition: Condition) -> Iterator[Condition]:
    """The tests of single facts or nodes that a condition is made of."""
    if isinstance(condition, AllOrAny):
        for part in condition.parts:
            yield from simple_parts(part)
    elif isinstance(condition, Not):
        yield from simple_parts(condition.part)
    else:
        yield condition


def against(condition: Condition, holds: Callable[[Condition], Mask]) -> list[tuple[str, Mask]]:
    """Tests that speak against a condition where it does not hold, in its own order.

    Each with the name it reads and the worlds in which it does. Where any one of several
    tests would do, all of them speak against it. ``holds`` gives the worlds in which a
    condition or a part of one holds.
    """
    return list(_against(condition, True, ~holds(condition), holds))


def _against(
    part: Condition, wanted: bool, where: Mask, holds: Callable[[Condition], Mask]
) -> Iterator[tuple[str, Mask]]:
    here = where & (~holds(part) if wanted else holds(part))
    if isinstance(part, AllOrAny):
        for inner in part.parts:
            yield from _against(inner, wanted, here, holds)
    elif isinstance(part, Not):
        yield from _against(part.part, not wanted, here, holds)
    else:
        yield next(part.names()), here
