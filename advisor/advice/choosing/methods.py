"""Each method over all worlds: possible or not, usage of its joints, work and material."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.conditions import Mask, against
from advisor.rulegraph.model.nodes import Array, Ref, triangular
from advisor.rulegraph.model.rules import Charge, Joint, Method, Mode, Requirement, Site

DURATIONS = ("sustained", "cyclic", "peak")


@dataclass(frozen=True)
class ModeUsage:
    """Demand over capacity of one failure mode, by duration; each of shape (n,)."""

    mode: Mode
    terms: dict[str, Array]
    total: Array


@dataclass(frozen=True)
class JointUsage:
    """A joint's modes; ``usage`` is that of the weakest, ``limiting`` its index."""

    joint: Joint
    site: Site
    applies: Mask
    modes: tuple[ModeUsage, ...]
    usage: Array
    limiting: Array


@dataclass(frozen=True)
class MethodOutcome:
    """One method in every world."""

    method: Method
    possible: Mask
    refused: tuple[tuple[Requirement, Mask], ...]
    """Requirements and the worlds in which they are not met."""
    joints: tuple[JointUsage, ...]
    worlds: SampledWorlds

    @cached_property
    def title(self) -> str:
        """What the method is called in this case."""
        return title_here(self.method, self.worlds)

    @cached_property
    def minutes(self) -> Array:
        """Mean minutes of the work in each world."""
        return _charged(self.method.work, self.worlds, None)

    @cached_property
    def material(self) -> Array:
        """Mean price of the material in each world."""
        return _charged(self.method.materials, self.worlds, None)

    @cached_property
    def minutes_spread(self) -> Array:
        """Minutes drawn in each world, where ``minutes`` has their mean."""
        return _charged(self.method.work, self.worlds, f"{self.method.key}/minutes")

    @cached_property
    def material_spread(self) -> Array:
        """Material drawn in each world, where ``material`` has its mean price."""
        return _charged(self.method.materials, self.worlds, f"{self.method.key}/material")

    def applies(self, need: str, n: int) -> Mask:
        """Worlds in which the method has an answer to ``need`` at all."""
        if not any(need in joint.meets for joint in self.method.joints):
            return np.ones(n, dtype=np.bool_)
        applied = np.zeros(n, dtype=np.bool_)
        for joint in self.joints:
            if need in joint.joint.meets:
                applied |= joint.applies
        return applied

    def holds(self, need: str, n: int) -> Array:
        """Chance of holding for ``need`` in each world (workmanship included)."""
        sound = np.full(n, self.method.reliability.mean)
        for joint in self.joints:
            if need not in joint.joint.meets:
                continue
            sound = np.where(joint.applies & ~(joint.usage <= 1.0), 0.0, sound)
        return np.where(self.applies(need, n), sound, 0.0)


def compute_method(method: Method, worlds: SampledWorlds) -> MethodOutcome:
    """Screen, load and cost one method over all worlds."""
    possible = np.ones(worlds.n, dtype=np.bool_)
    refused = []
    for requirement in method.requirements:
        met = worlds.holds(requirement.condition)
        if not met.all():
            refused.append((requirement, ~met))
        possible &= met
    joints = tuple(_joints(method, worlds)) if possible.any() else ()
    return MethodOutcome(
        method=method,
        possible=possible,
        refused=tuple(refused),
        joints=joints,
        worlds=worlds,
    )


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


def _joints(method: Method, worlds: SampledWorlds) -> Iterator[JointUsage]:
    """The joints that apply in some world."""
    for joint in method.joints:
        applies = worlds.holds(joint.when) if joint.when else np.ones(worlds.n, dtype=np.bool_)
        if applies.any():
            yield _joint(joint, applies, worlds)


def _joint(joint: Joint, applies: Mask, worlds: SampledWorlds) -> JointUsage:
    site = worlds.pack.sites[joint.site]
    modes = tuple(_mode(mode, site, worlds) for mode in joint.modes)
    totals = np.stack([mode.total for mode in modes])
    limiting = np.argmax(totals, axis=0)
    return JointUsage(joint, site, applies, modes, totals.max(axis=0), limiting)


def _mode(mode: Mode, site: Site, worlds: SampledWorlds) -> ModeUsage:
    capacity = mode.capacity.get(worlds)
    hot, warm = mode.hot.get(worlds), mode.warm.get(worlds)
    factors = {
        "sustained": mode.sustained.get(worlds) * hot,
        "cyclic": mode.cyclic.get(worlds) * warm,
        "peak": warm,
    }
    terms = {}
    for duration in DURATIONS:
        demand = worlds.values[getattr(site, duration)]
        terms[duration] = _ratio(demand, capacity * factors[duration])
    with np.errstate(over="ignore"):
        total = terms["sustained"] + terms["cyclic"] + terms["peak"]
    return ModeUsage(mode, terms, total)


def _ratio(demand: Array, carried: Array) -> Array:
    """Demand over what is carried; without bound where nothing is carried."""
    ratio = np.full(demand.shape, np.inf)
    with np.errstate(over="ignore"):
        np.divide(demand, carried, out=ratio, where=np.greater(carried, 0.0))
    ratio[demand <= 0.0] = 0.0
    return ratio


def _charged(charges: tuple[Charge, ...], worlds: SampledWorlds, stream: str | None) -> Array:
    """Sum of the charges in each world: at their mean, or drawn where a stream is named."""
    total = np.zeros(worlds.n)
    for charge in charges:
        spread = charge.spread
        amount: float | Array = spread.mean
        if stream is not None and spread.low < spread.high:
            u = worlds.uniform(stream)
            amount = triangular(u, spread.low, spread.typical, spread.high)
        value = amount * _size(charge.per, worlds)
        if charge.when is not None:
            value = np.where(worlds.holds(charge.when), value, 0.0)
        total = total + value
    return np.asarray(total)


def _size(per: Ref, worlds: SampledWorlds) -> Array | float:
    return per.get(worlds)  # type: ignore[no-any-return]
