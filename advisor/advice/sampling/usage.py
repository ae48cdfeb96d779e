"""How far each joint of a method is used in every world: demand over what it carries."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, reduce

import numpy as np
from numpy.typing import NDArray

from advisor.advice.sampling.fact_draws import CaseWorlds
from advisor.rulegraph.model.conditions import Mask
from advisor.rulegraph.model.nodes import Array
from advisor.rulegraph.model.rules import Joint, Method, Mode, Site

DURATIONS = ("sustained", "cyclic", "peak")


@dataclass(frozen=True)
class ModeUsage:
    """Demand over capacity of one failure mode, by duration; each of shape (n,)."""

    mode: Mode
    terms: dict[str, Array]
    total: Array


@dataclass(frozen=True)
class JointUsage:
    """A joint in every world; how far it is used is worked out when it is first asked for."""

    joint: Joint
    applies: Mask
    worlds: CaseWorlds

    @property
    def site(self) -> Site:
        """Where it is loaded."""
        return self.worlds.pack.sites[self.joint.site]

    @cached_property
    def modes(self) -> tuple[ModeUsage, ...]:
        """Its failure modes."""
        return tuple(map(self._mode, self.joint.modes))

    def _mode(self, mode: Mode) -> ModeUsage:
        reads = mode.reads.union(self.site.demands)
        return self.worlds.once(id(mode), reads, lambda: _used(mode, self.site, self.worlds))

    @cached_property
    def usage(self) -> Array:
        """How far the weakest mode is used."""
        return reduce(np.maximum, [mode.total for mode in self.modes])

    @cached_property
    def limiting(self) -> NDArray[np.intp]:
        """Number of the weakest mode in each world."""
        most, limiting = self.modes[0].total, np.zeros(self.worlds.n, dtype=np.intp)
        for number, mode in enumerate(self.modes[1:], start=1):
            np.maximum(limiting, number * (mode.total > most), out=limiting)
            most = np.maximum(most, mode.total)
        return limiting


def joints_of(method: Method, worlds: CaseWorlds) -> Iterator[JointUsage]:
    """The joints that apply in some world."""
    for joint in method.joints:
        if joint.when is None:
            yield JointUsage(joint, np.ones(worlds.n, dtype=np.bool_), worlds)
        elif worlds.everywhere(joint.when) is not False:
            yield JointUsage(joint, worlds.holds(joint.when), worlds)


def carried(mode: Mode, duration: str, worlds: CaseWorlds) -> Array | float:
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


def _used(mode: Mode, site: Site, worlds: CaseWorlds) -> ModeUsage:
    demands = {duration: worlds.values[getattr(site, duration)] for duration in DURATIONS}
    if mode.lasting_share.name is not None:
        demands["sustained"] = demands["sustained"] * mode.lasting_share.get(worlds)
    if site.frost is not None:
        demands["frost"] = np.minimum(worlds.values[site.frost], demands["cyclic"])
        demands["cyclic"] = demands["cyclic"] - demands["frost"]
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
    """Demand over what is carried; without bound where nothing is carried, 0 without demand."""
    ratio = demand / carried
    nothing = ~(np.asarray(carried) > 0.0)
    if nothing.any():
        ratio[np.broadcast_to(nothing, ratio.shape)] = np.inf
        ratio[demand <= 0.0] = 0.0
    return np.maximum(ratio, 0.0, out=ratio)
