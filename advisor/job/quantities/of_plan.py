"""Quantities of a plan, method by method."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from advisor.advice.choosing.methods import title_here
from advisor.job.model import QuantityGroup
from advisor.job.quantities import hard as amounts_hard
from advisor.job.quantities import sewn as amounts_sewn
from advisor.job.quantities import soft as amounts_soft
from advisor.job.quantities.amount import Amount
from advisor.job.sample import Sample
from advisor.rulegraph.model.rules import method_word

Maker = Callable[[Sample, str], list[Amount]]

#: By method, or by a variant that takes other quantities.
MAKERS: dict[str, Maker] = {
    "hand_stitch": amounts_sewn.by_hand,
    "machine_restitch": amounts_sewn.by_machine,
    "recover_panel": amounts_sewn.new_cover,
    "recover_panel.one_panel": amounts_sewn.one_panel,
    "plastic_weld": amounts_hard.welded,
    "solvent_weld": amounts_hard.fused,
    "staple_reinforce": amounts_hard.stapled,
    "foam_backfill": amounts_soft.filled,
    "foam_replace": amounts_soft.refoamed,
    "backing_patch": amounts_soft.patched,
    "backing_patch.sewn": amounts_sewn.patch_sewn_on,
    "backing_patch.strip": amounts_hard.bridged,
    "flexible_filler": amounts_soft.levelled,
    "recolour": amounts_soft.coloured,
    "adhesive_bond": amounts_soft.glued,
}


def quantity_groups(methods: Sequence[str], sample: Sample) -> tuple[QuantityGroup, ...]:
    """Quantities and tips for every method of a plan, in its order."""
    groups = []
    for key in methods:
        word = method_word(key)
        maker = MAKERS.get(key, MAKERS.get(word))
        amounts = tuple(maker(sample, key)) if maker is not None else ()
        tips = tuple(
            tip.text
            for tip in sample.rules.tips
            if word in tip.methods and sample.applies(tip.when)
        )
        title = title_here(sample.worlds.pack.methods[key], sample.worlds)
        if amounts or tips:
            groups.append(QuantityGroup(key, title, amounts, tips))
    return tuple(groups)
