"""The same worlds with one thing made otherwise, and joints compared world by world.

Common random numbers: whatever does not depend on the thing that is changed is the same
number in both, and the worlds keep their weights. What is compared is then the model, and
no sampling error comes in between.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from copy import copy
from typing import Any

import numpy as np
from numpy.typing import NDArray

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.sampling.usage import JointUsage
from advisor.advice.sampling.worlds import LazyValues, SampledWorlds
from advisor.rulegraph.model.nodes import Array
from advisor.rulegraph.model.rules import Joint, Mode
from tests.property.given_cases import PACK

#: Room for the last digits of a computation done in another order.
DUST = 1e-9


def altered(worlds: SampledWorlds, new: Mapping[str, NDArray[Any]]) -> SampledWorlds:
    """The same worlds, equally weighted as before, in which some names have other values.

    Only what they feed is computed anew, and where one of them feeds another the value
    given here stands.
    """
    fed = frozenset().union(*(PACK.fed_by(name) for name in new))
    other = copy(worlds)
    other.values, other.results = LazyValues(other), {}
    kept = {name: column for name, column in worlds.values.items() if name not in fed}
    other.values.update({**kept, **new})
    return other


def demands(*durations: str) -> list[str]:
    """Nodes of what reaches the joints, at every site."""
    if not durations:
        return [name for site in PACK.sites.values() for name in site.demands]
    return [getattr(site, duration) for site in PACK.sites.values() for duration in durations]


def scaled(worlds: SampledWorlds, factors: Mapping[str, float]) -> SampledWorlds:
    """The same worlds in which these nodes are so many times as large."""
    return altered(worlds, {name: worlds.values[name] * by for name, by in factors.items()})


def outcomes(
    worlds: SampledWorlds, methods: Collection[str] = tuple(PACK.methods)
) -> dict[str, MethodOutcome]:
    """Some or all methods of the pack in these worlds."""
    return {key: MethodOutcome(PACK.methods[key], worlds) for key in methods}


def beyond(usage: Array) -> Array:
    """Usage with what cannot be worked out counted as overloaded, as the advice does."""
    return np.where(np.isnan(usage), np.inf, usage)


def pairs(before: MethodOutcome, after: MethodOutcome) -> Iterator[tuple[JointUsage, JointUsage]]:
    """The joints of a method that are loaded in both."""
    known = {id(one.joint): one for one in before.joints}
    return ((known[id(one.joint)], one) for one in after.joints)


def certain_to_hold_no_better(before: MethodOutcome, after: MethodOutcome) -> None:
    """In no world does a joint carry its load more easily, or a method become possible."""
    assert not np.any(after.possible & ~before.possible), after.method.key
    for one, two in pairs(before, after):
        rises = beyond(two.usage) >= beyond(one.usage) * (1 - DUST)
        assert rises.all(), (after.method.key, [mode.key for mode in two.joint.modes])
    for need in after.method.meets:
        holds = np.where(after.possible, after.holds(need), 0.0)
        # A usage within dust of 1 may fall on either side of it.
        edge = np.zeros(after.possible.size, dtype=np.bool_)
        for joint in after.joints:
            edge |= np.abs(beyond(joint.usage) - 1.0) <= DUST
        assert np.all((holds <= before.holds(need)) | edge), (after.method.key, need)


def relations_behind(mode: Mode) -> set[str]:
    """The physical relations that what a mode carries is worked out by."""
    name = mode.capacity.name
    behind = {name, *PACK.feeding(name)} if name is not None else set()
    return {
        relation for node in behind if node in PACK.nodes
        if (relation := PACK.nodes[node].relation) is not None
    }  # fmt: skip


def is_sewn(joint: Joint) -> bool:
    """A line held by thread through holes."""
    return any("hole_capacity" in relations_behind(mode) for mode in joint.modes)


def of_the_skin(mode: Mode) -> bool:
    """The skin at the holes or between them gives way, not the thread."""
    return bool({"hole_capacity", "ligament_capacity"} & relations_behind(mode))


SEWN = {key: method for key, method in PACK.methods.items() if any(map(is_sewn, method.joints))}
