"""From the facts of a case to what lies in its section. Knows no Qt.

The drawing shows what the advice used: answers where there are answers, otherwise
what was assumed, marked as such.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.advice.result import Advice, FactState, Origin
from advisor.gui.section_shapes import Layers

#: Facts the drawing reads, by what it draws.
SKIN, FOAM, CARRIER = "skin.thickness", "core.thickness", "carrier.thickness"
MATERIAL, CORE, STATE = "skin.material", "core.kind", "core.state"
DAMAGE, GAP, RADIUS = "damage.kind", "damage.gap", "part.curvature_radius"

#: Kinds of damage, by what they do to the layers.
SEAMS = frozenset({"seam_split", "thread_run", "lacing_run"})
HOLES = frozenset({"hole", "burn", "burn_hole", "worn_through", "wear_hole", "missing_piece"})
PLASTIC = frozenset({"crack", "broken_tab", "broken_fixing", "crack_plastic", "broken_piece"})
LIFTED = frozenset({"lifted_edge", "debonded", "skin_debonded", "edge_lifted"})
HANGING = frozenset({"hanging_lining", "sagging_lining", "headliner_sag", "lining_down"})
SURFACE = frozenset({"surface_wear", "colour_loss", "finish_worn", "sticky_coating", "fading"})
NO_SKIN = frozenset({"none", "bare", "bare_plastic", "no_skin"})
NO_FOAM = frozenset({"none", "no_foam", "hard", "rigid"})
CRUMBLED = frozenset({"crumbled", "crumbling", "dust", "powder"})
COLLAPSED = frozenset({"collapsed", "sunken", "flat", "hollow"})
"""States of the core that leave a hollow."""


def states(advice: Advice) -> dict[str, FactState]:
    """The facts as the advice used them, by name."""
    return {state.fact: state for state in advice.facts}


def length(known: Mapping[str, FactState], name: str) -> float | None:
    """Typical value of a quantity in mm, None where the case has no such fact."""
    state = known.get(name)
    return state.value.typical if state is not None and state.value is not None else None


def likeliest(known: Mapping[str, FactState], name: str) -> str:
    """The answer of a choice that holds in most worlds; empty where there is none."""
    state = known.get(name)
    if state is None or not state.shares:
        return ""
    return max(state.shares, key=lambda key: state.shares[key])


def assumed(known: Mapping[str, FactState], *names: str) -> bool:
    """Whether the first of ``names`` that the case has was assumed."""
    for name in names:
        if name in known:
            return known[name].origin is Origin.ASSUMED
    return True


def foam_state(known: Mapping[str, FactState]) -> str:
    """How the core is drawn."""
    state = likeliest(known, STATE)
    if state in CRUMBLED:
        return "crumbled"
    if state in COLLAPSED:
        return "collapsed"
    return "missing" if state in ("missing", "gone") else "sound"


def layers_of(advice: Advice) -> Layers:
    """What to draw for this case.

    Lengths in mm. A skin or foam the case does not have is None.
    """
    known = states(advice)
    damage = likeliest(known, DAMAGE)
    bare = likeliest(known, MATERIAL) in NO_SKIN
    firm = bare or likeliest(known, CORE) in NO_FOAM
    skin = None if bare else (length(known, SKIN) or 1.0)
    foam = None if firm else (length(known, FOAM) or 20.0)
    gap = length(known, GAP) or 0.0
    marks = {
        "skin": assumed(known, SKIN, MATERIAL),
        "foam": assumed(known, FOAM, STATE),
        "carrier": assumed(known, CARRIER),
    }
    closed = damage in SURFACE | LIFTED | HANGING | PLASTIC
    return Layers(
        skin=skin,
        foam=foam,
        carrier=length(known, CARRIER) or 3.0,
        gap=gap,
        radius=length(known, RADIUS),
        foam_state=foam_state(known),
        skin_open=bool(damage) and not closed,
        skin_missing=damage in HOLES,
        carrier_cracked=damage in PLASTIC,
        edge_lifted=damage in LIFTED,
        hanging=damage in HANGING,
        stitched=damage in SEAMS,
        assumed=frozenset(name for name, on in marks.items() if on),
    )
