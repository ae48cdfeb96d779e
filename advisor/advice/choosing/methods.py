"""Each method over all worlds: possible or not, whether its joints hold, work and material."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np

from advisor.advice.sampling.usage import JointUsage, joints_of
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.conditions import Mask, against
from advisor.rulegraph.model.nodes import Array, select, triangular
from advisor.rulegraph.model.pack import MethodReads
from advisor.rulegraph.model.rules import Charge, Method, Requirement

T = TypeVar("T")


@dataclass(frozen=True)
class MethodOutcome:
    """One method in every world; each part of it is worked out when it is first asked for."""

    method: Method
    worlds: SampledWorlds

    def forget_calculated(self) -> None:
        """Drop all that can be calculated again from the worlds, as it was."""
        for name in vars(self).keys() - {"method", "worlds"}:
            del vars(self)[name]

    def _once(self, what: str, reads: frozenset[str], calculate: Callable[[], T]) -> T:
        return self.worlds.once((self.method.key, what), reads, calculate)

    @cached_property
    def _reads(self) -> MethodReads:
        return self.worlds.pack.reads_of(self.method.key)

    @cached_property
    def possible(self) -> Mask:
        """Worlds in which every requirement is met; read only."""
        return self._once("possible", self._reads.screening, self._screened)

    @cached_property
    def refused(self) -> tuple[tuple[Requirement, Mask], ...]:
        """Requirements and the worlds in which they are not met."""
        return tuple(
            (one, ~self.worlds.holds(one.condition))
            for one in self.method.requirements
            if not self.worlds.everywhere(one.condition)
        )

    @cached_property
    def joints(self) -> tuple[JointUsage, ...]:
        """The joints that apply in some world; none where the method is never possible."""
        return tuple(joints_of(self.method, self.worlds)) if self.possible.any() else ()

    @cached_property
    def title(self) -> str:
        """What the method is called in this case."""
        return title_here(self.method, self.worlds.within(self.possible))

    @cached_property
    def minutes(self) -> Array:
        """Mean minutes of the work in each world, without taking apart and refitting."""
        return self._charge("minutes", self._work(access=False))

    @cached_property
    def access(self) -> Array:
        """Mean minutes of taking apart and refitting: a plan has only the longest."""
        return self._charge("access", self._work(access=True))

    @cached_property
    def material(self) -> Array:
        """Mean price of the material in each world."""
        return self._charge("material", self.method.materials)

    def _charge(self, what: str, charges: tuple[Charge, ...]) -> Array:
        return self._once(
            what, self._reads.charges, lambda: _charged(charges, self.worlds, None)
        )

    @cached_property
    def minutes_spread(self) -> Array:
        """Minutes drawn in each world, where ``minutes`` has their mean."""
        stream = f"{self.method.key}/minutes"
        return _charged(self._work(access=False), self.worlds, stream)

    @cached_property
    def access_spread(self) -> Array:
        """Minutes drawn in each world, where ``access`` has their mean."""
        stream = f"{self.method.key}/minutes"
        return _charged(self._work(access=True), self.worlds, stream)

    @cached_property
    def material_spread(self) -> Array:
        """Material drawn in each world, where ``material`` has its mean price."""
        return _charged(self.method.materials, self.worlds, f"{self.method.key}/material")

    @cached_property
    def all_minutes_spread(self) -> Array:
        """Minutes drawn in each world, taking apart and refitting with them."""
        return np.asarray(self.minutes_spread + self.access_spread)

    def _work(self, *, access: bool) -> tuple[Charge, ...]:
        return tuple(charge for charge in self.method.work if charge.access is access)

    @cached_property
    def workmanship(self) -> Array | float:
        """Chance that the work turns out at every place, and that nothing new comes beside it."""
        tries = self.method.each_place.get(self.worlds)
        chance: Array | float = self.method.reliability.mean**tries
        spared: Array | float = chance * self.method.spared.get(self.worlds)
        return spared

    @cached_property
    def single_failures(self) -> Array | None:
        """Chance that places turn out badly one by one, where others show that the method holds.

        None where there is one place everywhere. With a single one nobody can tell poor work from
        a method that does not hold here.
        """
        tries = self.method.each_place.get(self.worlds)
        if np.max(tries) <= 1.0:
            return None
        places = np.rint(self.worlds.values[self.worlds.pack.roles.damage_count])
        apart = (tries - 1.0) / np.maximum(places - 1.0, 1.0)
        well = self.method.reliability.mean
        some = well ** (1.0 - apart) * (1.0 - well ** (places * apart))
        single: Array = some * self.method.spared.get(self.worlds)
        return single

    def applies(self, need: str) -> Mask:
        """Worlds in which the method has an answer to ``need`` at all; read only."""
        return self._once(f"applies {need}", self._reads.joints, lambda: self._applying(need))

    def holds(self, need: str) -> Array:
        """Chance of holding for ``need`` in each world (workmanship included); read only."""
        return self._once(f"holds {need}", self._reads.joints, lambda: self._holding(need))

    def answers(self, need: str) -> Mask:
        """Worlds in which it applies to ``need`` and is possible; read only."""
        return self._once(
            f"answers {need}", self._reads.joints, lambda: self.applies(need) & self.possible
        )

    def _screened(self) -> Mask:
        possible = np.ones(self.worlds.n, dtype=np.bool_)
        for requirement in self.method.requirements:
            everywhere = self.worlds.everywhere(requirement.condition)
            if everywhere is None:
                possible &= self.worlds.holds(requirement.condition)
            elif not everywhere:
                return np.zeros(self.worlds.n, dtype=np.bool_)
        return possible

    def _applying(self, need: str) -> Mask:
        if not any(need in joint.meets for joint in self.method.joints):
            return np.ones(self.worlds.n, dtype=np.bool_)
        applied = np.zeros(self.worlds.n, dtype=np.bool_)
        for joint in self.joints:
            if need in joint.joint.meets:
                applied |= joint.applies
        return applied

    def _holding(self, need: str) -> Array:
        sound = self.applies(need)
        for joint in self.joints:
            if need in joint.joint.meets:
                sound = sound & ~(joint.applies & ~(joint.usage <= 1.0))
        return np.asarray(sound * self.workmanship, dtype=np.float64)


def either(mask: Mask, one: Array, other: Array | float) -> Array:
    """``one`` where the mask holds, else ``other``; quicker where it is the same everywhere."""
    held = np.count_nonzero(mask)
    if held == mask.size:
        return one
    if held == 0 and isinstance(other, np.ndarray):
        return other
    return np.asarray(select(mask, one, other))


def title_here(method: Method, worlds: SampledWorlds) -> str:
    """What a method is called where most of these worlds are so."""
    for when, title in method.called:
        if worlds.mostly(when):
            return title
    return method.title


def speaks_against(requirement: Requirement, worlds: SampledWorlds) -> str:
    """The fact or node that most often keeps a requirement from being met."""
    found = against(requirement.condition, worlds.holds)
    return max(found, key=lambda pair: worlds.mean(pair[1]))[0]


def _charged(charges: tuple[Charge, ...], worlds: SampledWorlds, stream: str | None) -> Array:
    """Sum of the charges in each world: at their mean, or drawn where a stream is named."""
    total = np.zeros(worlds.n)
    u: Array | None = None
    for charge in charges:
        everywhere = charge.when is None or worlds.everywhere(charge.when)
        if everywhere is False:
            continue
        spread = charge.spread
        amount: float | Array = spread.mean
        if stream is not None and spread.low < spread.high:
            u = worlds.uniform(stream) if u is None else u
            amount = triangular(u, spread.low, spread.typical, spread.high)
        value = amount * charged_size(charge, worlds)
        total += value if charge.when is None or everywhere else (
            value * worlds.holds(charge.when)
        )
    return total


def charged_size(charge: Charge, worlds: SampledWorlds) -> Array | float:
    """What a charge is multiplied by: its size and, but for setting up, the equal parts."""
    size: Array | float = charge.per.get(worlds)
    return size if charge.set_up else size * worlds.values[worlds.pack.roles.part_count]
