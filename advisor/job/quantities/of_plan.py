"""Quantities of a plan, as the files of its methods name them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from advisor.advice.choosing.methods import title_here
from advisor.job.amount import Amount
from advisor.job.model import QuantityGroup
from advisor.job.quantities import hard, sewn, soft
from advisor.job.quantities.inputs import Inputs
from advisor.job.sample import Sample
from advisor.rulegraph.model.quantities import QuantityRule

#: A sum that is a whole number but for its last digits is that number.
WHOLE = 1e-6

Calculator = Callable[[Sample, Inputs], list[Amount]]

#: The calculators by the names that a method's file gives them.
BY_NAME: Mapping[str, Calculator] = {
    calculate.__name__: calculate
    for calculate in (
        sewn.hand_seam,
        sewn.hand_seam_every_other_hole,
        sewn.machine_seam,
        sewn.cover_seams,
        sewn.old_panel,
        sewn.thread_and_needle,
        sewn.sewn_patch,
        soft.glued_patch,
        soft.hollow_and_pad,
        soft.canned_foam,
        soft.two_part_foam,
        soft.new_padding,
        soft.filler_cure,
        soft.colour_coats,
        soft.cement_for_lining,
        soft.cement_for_edge,
        hard.strips_behind,
        hard.doublers_behind,
        hard.welding_rod,
        hard.stop_holes,
        hard.hot_staples,
        hard.staples_behind_weld,
    )
}


def _amounts(rule: QuantityRule, sample: Sample) -> list[Amount]:
    own = rule.own
    if own is None:
        return BY_NAME[rule.of](sample, Inputs(sample, rule.inputs))
    values = np.asarray(own.amount.get(sample.worlds), dtype=np.float64)
    if own.whole:
        counted = own.amount.name in sample.worlds.pack.facts
        values = np.maximum(np.rint(values) if counted else np.ceil(values - WHOLE), 1.0)
    return [sample.amount(own.key, own.title, values, own.dimension, own.source, own.note)]


def quantity_groups(methods: Sequence[str], sample: Sample) -> tuple[QuantityGroup, ...]:
    """Quantities and tips for every method of a plan, in its order."""
    groups = []
    for key in methods:
        method, here = sample.worlds.pack.methods[key], sample.at_work(key)
        amounts = tuple(
            amount
            for rule in method.quantities
            if here.applies(rule.when)
            for amount in _amounts(rule, here)
        )
        tips = tuple(
            tip.text for tip in here.worlds.pack.whole(key).tips if here.applies(tip.when)
        )
        if amounts or tips:
            groups.append(QuantityGroup(key, title_here(method, here.worlds), amounts, tips))
    return tuple(groups)
