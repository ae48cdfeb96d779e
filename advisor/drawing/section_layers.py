"""From the facts of a case to what lies in its section. Knows no Qt.

The drawing shows what the advice used: answers where there are answers, otherwise
what was assumed, marked as such.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Protocol

from advisor.advice.result import Advice, FactState, Origin
from advisor.drawing.section_shapes import Layers
from advisor.rulegraph.model.roles import Roles
from advisor.rulegraph.model.section import Layer, SectionLook, SectionRules


class DrawingRules(Protocol):
    """The part of a rule pack that a drawing follows."""

    @property
    def roles(self) -> Roles: ...

    @property
    def section(self) -> SectionRules: ...


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


def look_of(known: Mapping[str, FactState], rules: SectionRules) -> SectionLook:
    """What all answers together say of the drawing."""
    found = SectionLook()
    missing: set[Layer] = set()
    for fact, answers in rules.looks.items():
        look = answers.get(likeliest(known, fact), SectionLook())
        missing |= set(look.without)
        found = look.over(found)
    return replace(found, without=tuple(sorted(missing)))


def layers_of(advice: Advice, pack: DrawingRules) -> Layers:
    """What to draw for this case.

    Lengths in mm. A layer the case does not have is None; what broke is always there.
    """
    known, rules, roles = states(advice), pack.section, pack.roles
    look = look_of(known, rules)
    bare = "skin" in look.without
    padded = not bare and "padding" not in look.without
    base = look.base or "sound"
    backed = bare or base != "sound" or "base" not in look.without
    skin, padding = roles.skin_thickness, roles.padding_thickness
    marks = {"skin": (skin, roles.skin), "foam": (padding,), "carrier": (roles.base_thickness,)}
    return Layers(
        skin=None if bare else length(known, skin) or rules.skin,
        foam=(length(known, padding) or rules.padding) if padded else None,
        carrier=(length(known, roles.base_thickness) or rules.base) if backed else None,
        base=look.base_called or "carrier",
        gap=length(known, roles.damage_opening) or 0.0,
        radius=look.radius or None,
        foam_state=look.padding or "sound",
        carrier_state="sound" if base == "fixing_broken" else base,
        skin_open=look.skin in ("open", "missing"),
        skin_missing=look.skin == "missing",
        edge_lifted=look.skin == "lifted",
        hanging=look.skin == "hanging",
        stitched=bool(look.seam),
        worn=look.skin == "worn",
        fixing_broken=base == "fixing_broken",
        site=look.loaded_at or rules.site,
        assumed=frozenset(name for name, facts in marks.items() if assumed(known, *facts)),
    )
