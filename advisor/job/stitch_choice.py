"""Every hole against every other hole, where a plan is sewn by hand."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from advisor.advice.result import Advice
from advisor.job.costing import costs_of, materials_of, price_of
from advisor.job.effort import work_items
from advisor.job.estimates import total
from advisor.job.model import HoleChoice
from advisor.job.quantities import sewing
from advisor.job.quantities.inputs import Inputs
from advisor.job.sample import Sample
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import Method, method_word
from advisor.wording.figures import Range

#: Calculators of the quantities of the two ways.
EVERY, EVERY_OTHER = "hand_seam", "hand_seam_every_other_hole"


def hole_choice(
    advice: Advice, methods: Sequence[str], sample: Sample
) -> HoleChoice | None:
    """Stitches, minutes, price and strength both ways; None where no hand stitch is planned."""
    pack = sample.worlds.pack
    ways = next((found for key in methods if (found := _both_ways(key, pack))), None)
    if ways is None:
        return None
    every, every_other = ways
    used = next(key for key in methods if key in ways)
    minutes, prices, paid, tax = [], [], [], ""
    for key in ways:
        swapped = tuple(key if m == used else m for m in methods)
        items = work_items(swapped, sample)
        costs = costs_of("", items, materials_of(swapped, sample), pack)
        minutes.append(total(item.estimate for item in items).expected)
        price = price_of([costs], pack, sample.wishes)
        prices.append(price.quote)
        paid.append(price.total.high)
        tax = f" incl. {price.tax_label or 'tax'}" if price.tax > 0.0 else ""
    rule = next(rule for rule in pack.methods[used].quantities if rule.of in (EVERY, EVERY_OTHER))
    of = Inputs(sample, rule.inputs)
    length, pitch = of("damage_length"), of("stitch_pitch")
    ends = (sample.known("overrun"), sample.known("back_stitches"))
    count = of.places()
    stitches = tuple(
        sample.range(number(length, pitch, *ends) * count).typical
        for number in (sewing.stitches_to_sew, sewing.stitches_every_other)
    )
    full, sparse = (_carries(pack.methods[key], sample) for key in ways)
    left = sample.range(np.where(full > 0.0, sparse / np.maximum(full, 1e-12), 1.0))
    chances = {m.method: m.hold_probability for m in advice.methods}
    hold = (chances.get(every, 0.0), chances.get(every_other, 0.0))
    return HoleChoice(
        stitches=(stitches[0], stitches[1]),
        minutes=(minutes[0], minutes[1]),
        price=(prices[0], prices[1]),
        strength_left=left,
        hold=hold,
        proposed="every" if used == every else "every_other",
        text=_holes_text(minutes, paid, left, f"{pack.currency} {{:.0f}}{tax}"),
    )


def _both_ways(key: str, pack: RulePack) -> tuple[str, str] | None:
    """A method sewn through every hole and its variant through every other, if ``key`` is one."""
    sewn = {
        rule.of: other
        for other, method in pack.methods.items()
        if method_word(other) == method_word(key)
        for rule in method.quantities
        if rule.of in (EVERY, EVERY_OTHER)
    }
    ways = (sewn.get(EVERY, ""), sewn.get(EVERY_OTHER, ""))
    return ways if all(ways) and key in ways else None


def _carries(method: Method, sample: Sample) -> np.ndarray:
    """What the weakest part of a sewn line carries in a short test [N/mm]."""
    capacities = [
        np.broadcast_to(mode.capacity.get(sample.worlds), (sample.worlds.n,))
        for joint in method.joints
        for mode in joint.modes
    ]
    if not capacities:
        return np.zeros(sample.worlds.n)
    return np.asarray(np.min(np.stack(capacities), axis=0))


def _holes_text(minutes: Sequence[float], paid: Sequence[float], left: Range, said: str) -> str:
    """``said`` takes the money that is saved, as it is paid."""
    saved = max(minutes[0] - minutes[1], 0.0)
    cheaper = paid[0] - paid[1]
    money = f"and {said.format(cheaper)}" if cheaper >= 0.5 else "and nothing in the quote"
    return (
        f"Every other hole saves about {saved:.0f} min {money}; the seam then carries about "
        f"{round(100 * left.typical)} % of what it carries sewn through every hole."
    )
