"""From the facts of a case to what lies in its section. Knows no Qt.

The drawing shows what the advice used: answers where there are answers, otherwise
what was assumed, marked as such.
"""

from __future__ import annotations

from collections.abc import Mapping

from advisor.advice.result import Advice, FactState, Origin
from advisor.drawing.section_shapes import Layers

#: Kinds of damage, by what they do to the layers.
SEAMS = frozenset({"seam_open", "thread_run"})
OPEN = frozenset({"seam_open", "tear", "tear_at_seam", "skin_crack"})
LIFTED = frozenset({"lifted_edge", "shrunk_short"})
WORN = frozenset({"worn_surface", "sticky_coating"})
NO_SKIN = frozenset({"none", "coating"})
FOAM_STATES = {"hollow": "collapsed", "crumbles": "crumbled", "wet": "wet", "tired": "tired"}
#: Where a kind of damage is loaded; the skin, where it is not named here.
SITES = {
    "lifted_edge": "edge", "shrunk_short": "edge", "fallen_lining": "lining",
    "carrier_crack": "carrier", "carrier_rotten": "carrier", "broken_fixing": "fixing",
}
#: Parts that are drawn rounded, with a usual radius in mm (own estimate: for the eye only,
#: nothing is computed from it here).
CURVED = {
    "armrest": 60.0, "steering_wheel_rim": 16.0, "seat_bolster": 70.0, "motorcycle_seat": 120.0,
    "console_lid": 90.0, "dash_pad": 80.0, "seat_backrest": 150.0, "head_restraint": 60.0,
    "helm_seat": 120.0, "work_seat": 110.0, "pilot_seat": 150.0, "door_top": 40.0,
    "gaiter": 35.0,
}
#: Parts whose skin or padding has nothing hard below it, unless that is what broke.
UNBACKED = frozenset({"folding_roof", "boat_canopy", "gaiter", "box_cushion"})
HARD = frozenset({"carrier_crack", "carrier_rotten", "broken_fixing"})
#: What lies below the skin, where it is not called the carrier.
BASES = {"carpet_edge": "carpet"}
#: Where the case does not say, mm.
USUAL_SKIN, USUAL_FOAM, USUAL_CARRIER = 1.1, 20.0, 2.5


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


def foam_state(known: Mapping[str, FactState], damage: str) -> str:
    """How the core is drawn."""
    state = FOAM_STATES.get(likeliest(known, "core.state"), "sound")
    return "collapsed" if damage == "core_collapsed" and state == "sound" else state


def carrier_state(known: Mapping[str, FactState], damage: str) -> str:
    """``sound``, ``cracked`` or ``rotten``."""
    if damage in ("carrier_crack", "carrier_rotten"):
        return {"carrier_crack": "cracked", "carrier_rotten": "rotten"}[damage]
    state = likeliest(known, "carrier.state")
    return state if state in ("cracked", "rotten") else "sound"


def layers_of(advice: Advice) -> Layers:
    """What to draw for this case.

    Lengths in mm. A skin or foam the case does not have is None.
    """
    known = states(advice)
    damage = likeliest(known, "damage.kind")
    bare = likeliest(known, "skin.material") in NO_SKIN
    firm = likeliest(known, "core.material") == "none"
    skin = None if bare else (length(known, "skin.thickness") or USUAL_SKIN)
    foam = None if firm or bare else (length(known, "core.thickness") or USUAL_FOAM)
    marks = {
        "skin": assumed(known, "skin.thickness", "skin.material"),
        "foam": assumed(known, "core.thickness", "core.state"),
        "carrier": assumed(known, "carrier.thickness"),
    }
    part = likeliest(known, "part.kind")
    unbacked = part in UNBACKED and damage not in HARD and skin is not None
    return Layers(
        skin=skin,
        foam=foam,
        carrier=None if unbacked else length(known, "carrier.thickness") or USUAL_CARRIER,
        base=BASES.get(part, "carrier"),
        gap=length(known, "damage.gap") or 0.0,
        radius=CURVED.get(part),
        foam_state=foam_state(known, damage),
        carrier_state=carrier_state(known, damage),
        skin_open=damage in OPEN or damage == "hole",
        skin_missing=damage == "hole",
        edge_lifted=damage in LIFTED,
        hanging=damage == "fallen_lining",
        stitched=damage in SEAMS,
        worn=damage in WORN,
        fixing_broken=damage == "broken_fixing",
        site=SITES.get(damage, "skin"),
        assumed=frozenset(name for name, on in marks.items() if on),
    )
