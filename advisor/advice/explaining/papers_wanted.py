"""Which papers a method would want on a certified part, and which one wants the fewest."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.result import GateAdvice, GateState, MethodAdvice, PlanAdvice, Status
from advisor.rulegraph.model.layers import DOUBTING, LAYERS, Layer, layer_words
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.phrases import filled
from advisor.wording.sentences import lowered


def layers_added(outcome: MethodOutcome) -> tuple[Layer, ...]:
    """Layers that materials of a method become, in any simulated case in which it is possible.

    A material of which the rules do not say what it becomes counts as ``other``.
    """
    worlds = outcome.worlds
    # A method that is not possible here is told with all that it could add.
    here = outcome.possible if outcome.possible.any() else ~outcome.possible
    found: set[Layer] = set()
    for charge in outcome.method.materials:
        if charge.when is None or (worlds.holds(charge.when) & here).any():
            found.update(charge.adds)
    return tuple(layer for layer in LAYERS if layer in found)


def papers_wanted(
    plan: PlanAdvice | None,
    methods: Sequence[MethodAdvice],
    primary: str,
    gates: Sequence[GateAdvice],
    pack: RulePack,
) -> tuple[str, ...]:
    """What the plan adds, and which method for the ``primary`` need wants the fewest papers.

    Said where a hazard about papers of added material is asked and does not stop the job.
    """
    concerned = [gate for gate in gates if pack.gates[gate.gate].about_papers]
    if plan is None or not concerned or any(g.state is GateState.CLOSED for g in gates):
        return ()
    here = {method.method: method for method in methods}
    added = [layer for key in plan.methods if key in here for layer in here[key].adds]
    whole = [layer for layer in LAYERS if layer in added]
    said = [f"New papers: this plan adds {layer_words(whole)}."]
    if DOUBTING & set(whole):
        said[0] += (
            " Colour, filler, film or new foam on a certified part puts the papers of what is"
            " there in doubt: the station reviews them."
        )
    rivals = [
        m for m in methods
        if m.method == plan.lead or (m.status is Status.HOLDS and primary in m.meets)
    ]  # fmt: skip
    if rivals:
        fewest = min(rivals, key=lambda m: (len(m.adds), m.method != plan.lead))
        said.append(
            filled("Of the methods in question “{}” wants the fewest new papers: it adds {}.",
                   lowered(fewest.title), layer_words(fewest.adds))
        )  # fmt: skip
    return tuple(said)
