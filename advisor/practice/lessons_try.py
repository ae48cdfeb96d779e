"""Trying by hand: some figures of a case are moved, and all that follows is calculated anew.

Which figures is a role of the rules (``tried_by_hand``). Nothing here is a formula of its own:
the moved figure takes its place in the rules, and the advice is worked out from them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from advisor.advice.advise import advise_quick
from advisor.advice.result import Advice
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.rulegraph.model.nodes import Draw, Fold, Node, Ref
from advisor.rulegraph.model.pack import RulePack

#: Simulated cases behind one position of the sliders: few, so that it follows the hand.
WORLDS = 512
#: How far below and above its likely range a figure may be moved, in widths of that range.
BEYOND = 1.0
#: Positions of a slider.
STEPS = 40
#: A figure below this in all likely cases does not play a part here.
NOTHING = 1e-9


@dataclass(frozen=True)
class Slider:
    """A figure that may be moved: ``low`` to ``high`` in its unit; ``usual`` is as calculated."""

    node: str
    title: str
    unit: str
    low: float
    usual: float
    high: float

    def at(self, step: int) -> float:
        """The figure at a position, 0 to ``STEPS``."""
        return self.low + (self.high - self.low) * step / STEPS

    def step(self, value: float) -> int:
        """The position nearest to a figure."""
        return round(STEPS * (value - self.low) / (self.high - self.low))


def sliders(case: Case, pack: RulePack) -> tuple[Slider, ...]:
    """What may be moved in this case; a figure that plays no part in it is left out."""
    worlds = SampledWorlds(case, pack, WORLDS)
    return tuple(_sliders(worlds))


def _sliders(worlds: SampledWorlds) -> Iterator[Slider]:
    pack = worlds.pack
    for name in pack.roles.tried_by_hand:
        node = pack.nodes[name]
        low, usual, high = (float(end) for end in worlds.quantiles_of(name))
        width = high - low
        if max(abs(low), abs(high)) < NOTHING or width <= 0.0:
            continue
        least = low - BEYOND * width
        if low >= 0.0:
            least = max(least, 0.0 if isinstance(node.operation, Fold) else 0.5 * low)
        yield Slider(name, node.title, node.unit, least, usual, high + BEYOND * width)


def tried(
    case: Case, pack: RulePack, moved: Mapping[str, float], usual: Mapping[str, float],
    worlds: int = WORLDS,
) -> Advice:  # fmt: skip
    """The advice with figures moved from what is ``usual`` to where they are put.

    A figure that is drawn or calculated is put there in every simulated case; of a sum all
    parts are made larger or smaller alike, since it is they that the loads are made of. What
    was measured of a load that the figure feeds no longer counts: it was measured as it stands.
    """
    nodes = dict(pack.nodes)
    fed = {name for node in moved for name in _moves_with(node, pack)}
    for fact, measurement in pack.measurements.items():
        if not fed.isdisjoint((measurement.predicted_by, *pack.feeding(measurement.predicted_by))):
            case = case.without(fact)
    for name, value in moved.items():
        node = pack.nodes[name]
        if isinstance(node.operation, Fold) and node.operation.kind == "sum":
            for part in node.operation.names():
                _scale(part, value / max(usual[name], NOTHING), nodes)
        else:
            nodes[name] = _fixed(node, value)
    return advise_quick(case, replace(pack, nodes=nodes), worlds, rough=True).advice


def _moves_with(name: str, pack: RulePack) -> Iterator[str]:
    """The figure, and the parts that are moved where it is a sum."""
    yield name
    operation = pack.nodes[name].operation
    if isinstance(operation, Fold) and operation.kind == "sum":
        yield from operation.names()


def _scale(name: str, factor: float, nodes: dict[str, Node]) -> None:
    """Put ``factor`` before a figure; what it is made of stays, under another name."""
    node, within = nodes[name], f"{name}, unmoved"
    nodes[within] = node
    product = Fold("product", (Ref(within), Ref(None, factor)))
    nodes[name] = replace(node, operation=product, when=None)


def _fixed(node: Node, value: float) -> Node:
    return replace(node, operation=Draw((), (value, value, value)), when=None)
