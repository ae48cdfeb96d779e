"""Each method over all worlds: possible or not, usage of its joints, work and material."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, reduce

import numpy as np
from numpy.typing import NDArray

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.conditions import Mask, against
from advisor.rulegraph.model.nodes import Array, triangular
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
    """A joint's modes; ``usage`` is that of the weakest."""

    joint: Joint
    site: Site
    applies: Mask
    modes: tuple[ModeUsage, ...]
    usage: Array

    @cached_property
    def limiting(self) -> NDArray[np.intp]:
        """Number of the weakest mode in each world."""
        return np.asarray(np.argmax(np.stack([mode.total for mode in self.modes]), axis=0))


@dataclass(frozen=True)
class MethodOutcome:
    """One method in every world; each part of it is worked out when it is first asked for."""

    method: Method
    worlds: SampledWorlds

    @cached_property
    def possible(self) -> Mask:
        """Worlds in which every requirement is met."""
        possible = np.ones(self.worlds.n, dtype=np.bool_)
        for requirement in self.method.requirements:
            possible &= self.worlds.holds(requirement.condition)
        return possible

    @cached_property
    def refused(self) -> tuple[tuple[Requirement, Mask], ...]:
        """Requirements and the worlds in which they are not met."""
        met = [(one, self.worlds.holds(one.condition)) for one in self.method.requirements]
        return tuple((one, ~mask) for one, mask in met if not mask.all())

    @cached_property
    def joints(self) -> tuple[JointUsage, ...]:
        """The joints that apply in some world; none where the method is never possible."""
        return tuple(_joints(self.method, self.worlds)) if self.possible.any() else ()

    @cached_property
    def title(self) -> str:
        """What the method is called in this case."""
        return title_here(self.method, self.worlds.within(self.possible))

    @cached_property
    def minutes(self) -> Array:
        """Mean minutes of the work in each world, without taking apart and refitting."""
        return _charged(self._work(access=False), self.worlds, None)

    @cached_property
    def access(self) -> Array:
        """Mean minutes of taking apart and refitting: a plan has only the longest."""
        return _charged(self._work(access=True), self.worlds, None)

    @cached_property
    def material(self) -> Array:
        """Mean price of the material in each world."""
        return _charged(self.method.materials, self.worlds, None)

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

    def applies(self, need: str, n: int) -> Mask:
        """Worlds in which the method has an answer to ``need`` at all; read only."""
        if need not in self._applies:
            self._applies[need] = self._applying(need, n)
        return self._applies[need]

    def holds(self, need: str, n: int) -> Array:
        """Chance of holding for ``need`` in each world (workmanship included); read only."""
        if need not in self._holds:
            self._holds[need] = self._holding(need, n)
        return self._holds[need]

    def answers(self, need: str, n: int) -> Mask:
        """Worlds in which it applies to ``need`` and is possible; read only."""
        if need not in self._answers:
            self._answers[need] = self.applies(need, n) & self.possible
        return self._answers[need]

    @cached_property
    def _answers(self) -> dict[str, Mask]:
        return {}

    @cached_property
    def _applies(self) -> dict[str, Mask]:
        return {}

    @cached_property
    def _holds(self) -> dict[str, Array]:
        return {}

    def _applying(self, need: str, n: int) -> Mask:
        if not any(need in joint.meets for joint in self.method.joints):
            return np.ones(n, dtype=np.bool_)
        applied = np.zeros(n, dtype=np.bool_)
        for joint in self.joints:
            if need in joint.joint.meets:
                applied |= joint.applies
        return applied

    def _holding(self, need: str, n: int) -> Array:
        sound = self.applies(need, n)
        for joint in self.joints:
            if need in joint.joint.meets:
                sound = sound & ~(joint.applies & ~(joint.usage <= 1.0))
        return np.asarray(sound * self.method.reliability.mean, dtype=np.float64)


def either(mask: Mask, one: Array, other: Array | float) -> Array:
    """``one`` where the mask holds, else ``other``; quicker where it is the same everywhere."""
    held = np.count_nonzero(mask)
    if held == mask.size:
        return one
    if held == 0 and isinstance(other, np.ndarray):
        return other
    return np.where(mask, one, other)


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
    usage = reduce(np.maximum, [mode.total for mode in modes])
    return JointUsage(joint, site, applies, modes, usage)


def carried(mode: Mode, duration: str, worlds: SampledWorlds) -> Array | float:
    """What a joint carries in one failure mode, and with it the skin around the damage.

    Of the repeated load ``frost`` is what comes on cold nights: no warmth weakens the joint then.
    """
    factor: Array | float = mode.warm.get(worlds)
    if duration == "sustained":
        factor = mode.sustained.get(worlds) * mode.hot.get(worlds)
    elif duration == "cyclic":
        factor = mode.cyclic.get(worlds) * factor
    elif duration == "frost":
        factor = mode.cyclic.get(worlds) * mode.cold.get(worlds)
    borne: Array | float = mode.capacity.get(worlds) * factor + mode.relief.get(worlds)
    return borne


def _mode(mode: Mode, site: Site, worlds: SampledWorlds) -> ModeUsage:
    demands = {duration: worlds.values[getattr(site, duration)] for duration in DURATIONS}
    if mode.lasting_share.name is not None:
        demands["sustained"] = demands["sustained"] * mode.lasting_share.get(worlds)
    if site.frost is not None:
        demands["frost"] = worlds.values[site.frost]
        demands["cyclic"] = np.maximum(demands["cyclic"] - demands["frost"], 0.0)
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        terms = {
            duration: _ratio(demand, np.asarray(carried(mode, duration, worlds)))
            for duration, demand in demands.items()
        }
        if "frost" in terms:
            terms["cyclic"] = terms["cyclic"] + terms.pop("frost")
        total = terms["sustained"] + terms["cyclic"] + terms["peak"]
    return ModeUsage(mode, terms, total)


def _ratio(demand: Array, carried: Array) -> Array:
    """Demand over what is carried; without bound where nothing is carried."""
    ratio = demand / carried
    nothing = ~(np.asarray(carried) > 0.0)
    if nothing.any():
        ratio[np.broadcast_to(nothing, ratio.shape)] = np.inf
    idle = demand <= 0.0
    if idle.any():
        ratio[idle] = 0.0
    return ratio


def _charged(charges: tuple[Charge, ...], worlds: SampledWorlds, stream: str | None) -> Array:
    """Sum of the charges in each world: at their mean, or drawn where a stream is named."""
    total = np.zeros(worlds.n)
    u: Array | None = None
    for charge in charges:
        mask = None if charge.when is None else worlds.holds(charge.when)
        if mask is not None and not mask.any():
            continue
        spread = charge.spread
        amount: float | Array = spread.mean
        if stream is not None and spread.low < spread.high:
            u = worlds.uniform(stream) if u is None else u
            amount = triangular(u, spread.low, spread.typical, spread.high)
        value = amount * charged_size(charge, worlds)
        total += value if mask is None or mask.all() else np.where(mask, value, 0.0)
    return total


def charged_size(charge: Charge, worlds: SampledWorlds) -> Array | float:
    """What a charge is multiplied by: its size and, but for setting up, the equal parts."""
    size: Array | float = charge.per.get(worlds)
    return size if charge.set_up else size * worlds.values[worlds.pack.roles.part_count]
