"""What a plan adds to a certified part, and which method wants the fewest new papers."""

from __future__ import annotations

from advisor.advice.advise import advise
from advisor.facts.case import Span
from advisor.facts.case_file import read_case
from advisor.paths import demo_folder
from advisor.rulegraph.model.layers import layer_words
from advisor.rulegraph.model.pack import RulePack


def test_the_advice_says_what_is_added_and_what_wants_the_fewest_papers(pack: RulePack) -> None:
    case = read_case(demo_folder() / "aircraft_panel_station.yaml", pack.facts)
    # Of two cracks both have to turn out; of one the weld holds in four of five.
    case = case.with_fact("damage.count", Span(1.0, 1.0))
    told = advise(case, pack, 256, flips=False)
    assert told.plan is not None
    adds = {method.method: method.adds for method in told.methods}
    assert adds["solvent_weld"] == adds["plastic_weld"] == ("plastic",)
    assert "New papers: this plan adds plastic." in told.notes
    fewest = "Of the methods in question “fuse with solvent” wants the fewest new papers: "
    assert f"{fewest}it adds plastic." in told.notes
    open_case = case.without("gate.material_papers")
    asked = advise(open_case, pack, 256, flips=False)
    assert asked.verdict == "ask" and asked.plan is not None and asked.plan.price is None
    assert "New papers: this plan adds plastic." in asked.notes
    # A bus is not asked for the papers of an aircraft.
    bus = advise(case.with_fact("vehicle.kind", ("bus",)), pack, 256, flips=False)
    assert not any("New papers" in note for note in bus.notes)


def test_colour_puts_the_papers_of_what_is_there_in_doubt(pack: RulePack) -> None:
    """14 CFR 29.853 (looked up) and 25.853 (from memory): a finish is tested with what it is on."""
    case = read_case(demo_folder() / "aircraft_panel_station.yaml", pack.facts)
    case = case.with_fact("damage.kind", ("worn_surface",)).with_fact("damage.growing", False)
    told = advise(case, pack, 256, flips=False)
    (said,) = [note for note in told.notes if note.startswith("New papers")]
    assert "finish" in said and "the station reviews them" in said


def test_every_material_says_what_it_becomes(pack: RulePack) -> None:
    said = {(m.key, c.what): c.adds for m in pack.methods.values() for c in m.materials}
    unknown = {key for (key, _), adds in said.items() if "other" in adds}
    assert unknown == {"replace_part", "elastic_renew"}  # a whole part; elastic
    assert said["hand_stitch", "Bonded sewing thread"] == ("thread",)
    assert said["hand_stitch", "Gel glue"] == ("adhesive",)
    assert all(adds == () for (key, _), adds in said.items() if key == "clean")


def test_layers_in_words() -> None:
    assert [layer_words(()), layer_words(("skin",)), layer_words(("skin", "fire_block", "foam"))] \
        == ["nothing", "skin", "skin, fire-block layer and foam"]  # fmt: skip
