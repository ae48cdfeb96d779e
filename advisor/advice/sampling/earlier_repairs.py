"""What an earlier repair tells: it held or gave way under the same loads, by such a joint.

The same loads have pulled at it, so a world in which its joint should have lasted much longer, or
much shorter, than it did is less likely. That it gave way tells much and when it did tells little,
since usage hardly turns with time; within days it was the work. Its joint was not made as the
method makes it, but with what was at hand; several goes by one method are by the same hands and
count once, by the one that lasted longest.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from advisor.advice.sampling.fact_draws import CaseWorlds
from advisor.advice.sampling.usage import JointUsage, joints_of
from advisor.facts.repair_words import has_failed, years_lasted
from advisor.mechanics.arith import normal_share
from advisor.rulegraph.model.nodes import Array

#: What an earlier joint bore, against the same one made as its method says. Of the glues at hand
#: (spray, plain cement, cement with hardener, reactive hot melt, tape) the pull left at 85 degC
#: goes from a tenth to 1.3 times that of the one we name, half in the middle (estimate).
AS_GOOD = 0.5
#: Spread of the logarithm of the usage at which it gives way: 0.4 of the joint itself, 0.7 of those
#: glues (estimate).
SCATTER = 0.8
#: Share of repairs whose fate is their workmanship and not their load (estimate).
BADLY_DONE = 0.15
#: Of those, how many go within a month, within a year, and later (estimate).
GOES_WITHIN = ((1 / 12, 0.6), (1.0, 0.3), (np.inf, 0.1))
#: Exponents of time by which sustained and repeated load use a joint up, ten years being 1.
CREEP, CYCLES = 0.10, 0.12
#: Shortest time that is told apart, years.
MOMENT = 0.003
#: Up to here a failure says "by then"; what lasted longer has also shown that it could, years.
EARLY = 1.5


def log_of_earlier_repairs(worlds: CaseWorlds) -> Array | float:
    """Log likelihood of how the earlier repairs went, in each world; 0 where nothing is known."""
    total: Array | float = 0.0
    told: dict[tuple[str, bool], tuple[float, float]] = {}
    for repair in worlds.case.earlier_repairs or ():
        lasted, failed = years_lasted(repair), has_failed(repair)
        if lasted is not None and failed is not None:
            key = (repair.method, failed)
            told[key] = max(told.get(key, lasted), lasted, key=lambda span: span[1])
    for (name, failed), lasted in told.items():
        if name in worlds.pack.methods:
            total = total + worlds.once(
                ("earlier", name, failed, lasted),
                worlds.pack.reads_of(name).joints,
                partial(_log_of, name, failed, lasted, worlds),
            )
    return total


def _log_of(
    name: str, failed: bool, lasted: tuple[float, float], worlds: CaseWorlds
) -> Array | float:
    total: Array | float = 0.0
    for joint in joints_of(worlds.pack.methods[name], worlds):
        chance = _gave_way(joint, *lasted) if failed else _still_holds(joint, lasted[1])
        total = total + np.where(joint.applies, np.log(chance), 0.0)
    return total


def _gave_way(joint: JointUsage, low: float, high: float) -> Array:
    """Chance that it gave way between these times."""
    by_then = _broken_by(joint, max(1.5 * high, MOMENT))
    before = _broken_by(joint, low / 2.0) if low > EARLY else 0.0
    badly = next(share for limit, share in GOES_WITHIN if high <= limit)
    return np.asarray((1.0 - BADLY_DONE) * (by_then - before) + BADLY_DONE * badly)


def _still_holds(joint: JointUsage, lasted: float) -> Array:
    """Chance that it holds after this time."""
    whole = 1.0 - _broken_by(joint, max(lasted, MOMENT))
    return np.asarray((1.0 - BADLY_DONE) * whole + BADLY_DONE * GOES_WITHIN[-1][1])


def _broken_by(joint: JointUsage, years: float) -> Array:
    """Chance that the joint has given way by then; weakest of its ways to fail."""
    usage = np.max(
        np.stack([
            mode.terms["sustained"] * (years / 10.0) ** CREEP
            + mode.terms["cyclic"] * (years / 10.0) ** CYCLES
            + mode.terms["peak"]
            for mode in joint.modes
        ]),
        axis=0,
    )  # fmt: skip
    usage = np.clip(usage / AS_GOOD, 1e-9, 1e9)
    return np.asarray(normal_share(np.log(usage) / SCATTER))
