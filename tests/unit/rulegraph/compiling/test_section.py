"""How the rules say a section is drawn: inheritance, and every fault with its place."""

from __future__ import annotations

from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.section import SectionLook
from tests.unit.rulegraph.spoiled import Spoiled


def test_a_look_keeps_what_it_says_and_takes_the_rest() -> None:
    own, kin = SectionLook(radius=0.0, skin="open"), SectionLook(60.0, ("base",), skin="worn")
    assert own.over(kin) == SectionLook(0.0, ("base",), skin="open")


def test_a_kind_of_another_is_drawn_as_that(pack: RulePack) -> None:
    parts = pack.section.looks["part.kind"]
    assert parts["boat_canopy"].without == parts["folding_roof"].without == ("base",)
    assert parts["work_seat"].radius != parts["seat_cushion"].radius


def test_a_site_an_option_a_fact_and_a_unit_that_are_none_are_told(spoiled: Spoiled) -> None:
    spoiled.edit("drawing.yaml", "loaded_at: lining", "loaded_at: linnig")
    spoiled.edit("drawing.yaml", "    seam_open:", "    seam_opne:")
    spoiled.edit("drawing.yaml", "  core.state:", "  core.stat:")
    spoiled.edit("drawing.yaml", "  edge: {arrows", "  egde: {arrows")
    spoiled.edit("parts/armrest.yaml", "radius: 60 mm", "radius: 6 cm")
    found = [fault.text.partition("rules/")[2] for fault in spoiled.faults()]
    for said in (
        "no such site; found \"linnig\"",
        "no such site; found \"egde\"",
        "damage.kind has no such option; found \"seam_opne\"",
        "no such choice; found \"core.stat\"", "drawing.radius: wrong unit; found \"6 cm\"",
    ):
        assert any(said in text for text in found), (said, found)
    assert any("did you mean seam_open?" in text for text in found)


def test_a_role_of_another_unit_or_kind_is_told(spoiled: Spoiled) -> None:
    spoiled.edit("roles.yaml", "stitch_pitch: seam.pitch", "stitch_pitch: seam.pich")
    spoiled.edit("roles.yaml", "damage_count: damage.count", "damage_count: damage.length")
    spoiled.edit("roles.yaml", "\nskin: skin.material", "\nskin: skin.thickness")
    found = " ".join(fault.text for fault in spoiled.faults())
    assert "roles.yaml:5:15: stitch_pitch: no such node or quantity" in found
    assert "did you mean seam.pitch?" in found
    assert "damage.length is in the wrong unit" in found
    assert 'skin: no such choice; found "skin.thickness"' in found
