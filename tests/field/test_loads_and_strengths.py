"""Damages whose load or strength decides: which methods may lead, and which never.

Written down before any was tried; common practice, no source. Hazards are answered harmlessly,
all else that is not named is open.
"""

from __future__ import annotations

import pytest

from advisor.advice.advise import advise_quick
from advisor.advice.result import Verdict
from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import Kind
from advisor.rulegraph.load import load_pack
from tests.field.gates import with_other_gates_cleared

PACK = load_pack()

#: Name, what is told, what may lead, what never.
DAMAGES = {
    "2 mm puncture of an armrest": (
        "part.kind=armrest vehicle.kind=car skin.material=vinyl_backed skin.feel=supple "
        "damage.kind=hole damage.length=2 damage.count=1",
        "flexible_filler backing_patch.small", "recover_panel replace_part"),
    "100 mm burnt through a bus seat": (
        "part.kind=seat_cushion vehicle.kind=bus skin.material=vinyl_backed skin.feel=supple "
        "damage.kind=hole damage.length=100 damage.count=1",
        "recover_panel.one_panel recover_panel", "adhesive_bond flexible_filler fibre_fill"),
    "40 mm cut in a bench gone brittle": (
        "part.kind=bench_cushion vehicle.kind=boat skin.material=vinyl_backed skin.feel=brittle "
        "damage.kind=tear damage.length=40 damage.count=1",
        "recover_panel", "backing_patch backing_patch.small flexible_filler adhesive_bond"),
    "120 mm cut that only has to work": (
        "part.kind=seat_cushion vehicle.kind=camper skin.material=leather skin.feel=supple "
        "damage.kind=tear damage.length=120 damage.count=1 wish.looks=low",
        "backing_patch recover_panel.one_panel", "adhesive_bond flexible_filler replace_part"),
    "cracked finish of supple leather": (
        "part.kind=seat_cushion vehicle.kind=car skin.material=leather skin.feel=supple "
        "damage.kind=skin_crack damage.through=no damage.length=60 damage.count=2",
        "flexible_filler.surface recolour", "recover_panel backing_patch adhesive_bond"),
    "brittle dash with a first crack": (
        "part.kind=dash_pad vehicle.kind=car vehicle.age=30 skin.material=vinyl_moulded "
        "skin.feel=brittle damage.kind=skin_crack damage.length=200 damage.count=1",
        "recover_panel replace_part", "backing_patch flexible_filler adhesive_bond"),
    "edge of a door panel that lies down": (
        "part.kind=door_panel vehicle.kind=car skin.material=vinyl_moulded skin.feel=supple "
        "damage.kind=lifted_edge damage.length=200 edge.lies_down=lies",
        "adhesive_bond", "hand_stitch recover_panel backing_patch"),
    "edge of a dash short by 10 mm": (
        "part.kind=dash_pad vehicle.kind=car skin.material=vinyl_moulded damage.kind=lifted_edge "
        "damage.length=150 edge.lies_down=short edge.short_by=10",
        "recover_panel replace_part", "adhesive_bond"),
    "carpet edge at a hatch under heels": (
        "part.kind=floor_carpet vehicle.kind=boat damage.kind=lifted_edge damage.length=600 "
        "carpet.below=wood_below part.available=no",
        "mechanical_fastener.edge_bar", "adhesive_bond recover_panel"),
    "hole in the carpet of a side lining": (
        "part.kind=side_lining vehicle.kind=camper skin.material=carpet damage.kind=carpet_hole "
        "damage.length=60 damage.count=1 carpet.donor=yes",
        "carpet_inset", "replace_part heel_pad adhesive_bond"),
    "hole in the carpet of a boot floor, none to spare": (
        "part.kind=load_floor vehicle.kind=car skin.material=carpet damage.kind=carpet_hole "
        "damage.length=60 damage.count=1 carpet.donor=no",
        "recover_panel", "replace_part carpet_inset heel_pad"),
    "bound mat that lies loose": (
        "part.kind=carpet_edge vehicle.kind=bus damage.kind=lifted_edge damage.length=600 "
        "carpet.below=not_drilled",
        "recover_panel", "mechanical_fastener.edge_bar"),
    "armrest seam that nobody leans on": (
        "part.kind=armrest vehicle.kind=car skin.material=leather skin.feel=supple "
        "damage.kind=seam_open damage.length=80 damage.hole_state=intact load.leaned_on=no",
        "hand_stitch machine_restitch", "adhesive_bond backing_patch"),
    "rotten thread of a boat cushion": (
        "part.kind=box_cushion vehicle.kind=boat skin.material=vinyl_backed skin.feel=supple "
        "damage.kind=thread_run damage.length=600 damage.hole_state=intact damage.failed=thread",
        "machine_restitch hand_stitch", "adhesive_bond recover_panel"),
    "PP trim that cracked by itself": (
        "part.kind=rigid_trim vehicle.kind=car carrier.material=pp carrier.thickness=2 "
        "damage.kind=carrier_crack damage.length=60 damage.cracked_by=use part.available=yes",
        "replace_part", "adhesive_bond solvent_weld plastic_weld"),
    "talc PP after a blow, none to be had": (
        "part.kind=rigid_trim vehicle.kind=car carrier.material=pp_talc carrier.thickness=3 "
        "damage.kind=carrier_crack damage.length=25 damage.cracked_by=blow part.available=no",
        "plastic_weld", "adhesive_bond solvent_weld"),
    "thick PP cracked in use, none to be had": (
        "part.kind=rigid_trim vehicle.kind=farm_machine carrier.material=pp carrier.thickness=5 "
        "damage.kind=carrier_crack damage.length=100 damage.cracked_by=use part.available=no",
        "mechanical_fastener.plate", "adhesive_bond solvent_weld plastic_weld staple_reinforce"),
    "thick PP cracked in use, a part to be had": (
        "part.kind=rigid_trim vehicle.kind=car carrier.material=pp carrier.thickness=5 "
        "damage.kind=carrier_crack damage.length=100 damage.cracked_by=use part.available=yes "
        "wish.looks=usual",
        "replace_part", "adhesive_bond plastic_weld mechanical_fastener.plate"),
    "locker of glass fibre after a blow": (
        "part.kind=hinged_board vehicle.kind=boat carrier.material=fibreglass "
        "damage.kind=carrier_crack damage.length=120 damage.cracked_by=blow crack.layer=laminate",
        "laminate_scarf", "plastic_weld solvent_weld adhesive_bond"),
    "screws torn out of a rotten board": (
        "part.kind=hinged_board vehicle.kind=boat carrier.material=plywood carrier.state=rotten "
        "damage.kind=screws_torn_out damage.count=2",
        # A bolt is named for the answer that an awl does not sink in there, and rightly.
        "replace_part", "adhesive_bond mechanical_fastener hole_plug_epoxy"),
    "screws torn out of sound ply": (
        "part.kind=hinged_board vehicle.kind=camper carrier.material=plywood carrier.state=sound "
        "damage.kind=screws_torn_out damage.count=2",
        "bolt_through hole_plug_epoxy mechanical_fastener", "adhesive_bond replace_part"),
}  # fmt: skip


def told(text: str) -> Case:
    facts: dict[str, Value] = {}
    for pair in text.split():
        name, _, said = pair.partition("=")
        kind = PACK.facts[name].kind
        if kind is Kind.QUANTITY:
            facts[name] = Span(float(said), float(said))
        else:
            facts[name] = said == "yes" if kind is Kind.YES_NO else (said,)
    return with_other_gates_cleared(Case("HB-1", facts=facts), PACK)


@pytest.mark.parametrize("name", DAMAGES)
def test_what_leads_and_what_never(name: str) -> None:
    text, may, never = DAMAGES[name]
    advice = advise_quick(told(text), PACK).advice
    assert advice.plan is not None
    assert advice.plan.lead in may.split()
    named = {question.promise.lead for question in advice.ask if question.promise is not None}
    assert not named & set(never.split())


def test_a_stiff_dash_with_a_first_crack_is_no_settled_patch() -> None:
    """At 20 years, and the more so where it is told to have grown in strong sun."""
    text = (
        "part.kind=dash_pad vehicle.kind=car vehicle.age=20 skin.material=vinyl_moulded "
        "skin.feel=stiff damage.kind=skin_crack damage.count=1"
    )
    for more in ("", " damage.growing=yes place.sun=strong"):
        advice = advise_quick(told(text + more), PACK).advice
        patch = next(m for m in advice.methods if m.method == "backing_patch")
        assert patch.hold_probability < 0.6
        assert advice.verdict is Verdict.ASK
