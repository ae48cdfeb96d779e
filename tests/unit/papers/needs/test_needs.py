"""Which papers a case needs: by vehicle, rule, item and layer; what is not known is said so."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from advisor.advice.result import MethodAdvice, Status
from advisor.facts.faults import BadInput
from advisor.papers.burn.rule_sets import shipped_rules
from advisor.papers.materials.lot import Lot, lot_of
from advisor.papers.needs import json_form
from advisor.papers.needs.evidence import Needs, evidence_rules, needs_of
from advisor.papers.needs.json_form import needs_json
from advisor.papers.needs.page import build_needs_page
from advisor.paths import demo_folder
from advisor.report.formats.text import render
from advisor.rulegraph.model.layers import DOUBTING, LAYERS, Layer
from advisor.rulegraph.model.pack import RulePack
from tests.unit.cli.command import Command

SCHEMA = json.loads(
    (Path(json_form.__file__).parent / "schema/needs-1.json").read_text(encoding="utf-8")
)
TODAY = date(2026, 11, 30)


def text_of(needs: Needs, vehicle: str = "Bus") -> str:
    text = render(build_needs_page(needs, vehicle, "HB-1", ""))
    return " ".join(word for word in text.split() if word.strip("|+-"))


def lot(name: str, layer: str, **more: object) -> Lot:
    papers = [{"kind": "burn_test", "number": "B-1"}]
    return lot_of({"lot": name, "layer": layer, "material": "m", "certificates": papers, **more})


def method(name: str, *adds: Layer) -> MethodAdvice:
    return MethodAdvice(name, name, ("close",), Status.HOLDS, 1.0, None, "", "", (), None, None,
                        "unseen", adds=adds)  # fmt: skip


@pytest.mark.parametrize("layer", sorted(DOUBTING))
def test_what_puts_existing_papers_in_doubt_goes_to_review(layer: Layer) -> None:
    """14 CFR 29.853 (looked up): finishes count with what they are on. Filler and foam so too:
    own reading."""
    needs = needs_of("aircraft", (layer,))
    assert needs.in_doubt and needs.layers[0].review
    assert "the papers it has are in doubt until the station has reviewed" in text_of(needs)
    assert not needs_of("bus", (layer,)).in_doubt
    assert not needs_of("aircraft", ("thread",)).in_doubt


@pytest.mark.parametrize("layer", LAYERS)
def test_every_layer_on_an_aircraft_has_its_evidence(layer: Layer) -> None:
    assert needs_of("aircraft", (layer,)).layers[0].evidence


def test_an_opened_fire_block_is_never_just_patched_over() -> None:
    for vehicle in ("bus", "rail", "aircraft"):
        (one,) = needs_of(vehicle, ("fire_block",)).layers
        said = " ".join(each.text for each in one.evidence)
        assert one.review and "renewed whole" in said and "never" in said and "patched" in said


def test_the_rule_set_is_never_guessed() -> None:
    open_ = needs_of("aircraft", ("skin",)).open_
    assert open_[0].startswith("The rule set is not given; one of CAR 3.388, ")
    assert "the operator flies under is not given" in open_[1]
    assert needs_of("aircraft", ("skin",)).tests == ()
    whole = needs_of("aircraft", ("skin",), rule_set="part_25", item="textile",
                     operator="part_91")  # fmt: skip
    assert whole.open_ == ()
    assert [test.partition(" [")[2] for test, _ in whole.tests] == ["vertical_12]"]
    # Compliance pair E3: below 20 passengers no heat and no smoke is asked (from memory).
    many = needs_of("aircraft", ("plastic",), rule_set="part_25", item="panel", passengers=20)
    few = needs_of("aircraft", ("plastic",), rule_set="part_25", item="panel", passengers=19)
    assert (len(many.tests), len(few.tests)) == (3, 1)


def test_a_makers_statement_is_named_under_its_old_rule_alone() -> None:
    """AC 43.13-1B chapter 9, as quoted: a maker's statement, part 91 only."""
    assert "maker's statement to a national" in text_of(
        needs_of("aircraft", ("skin",), rule_set="car_3"))  # fmt: skip
    assert "maker's statement to a national" not in text_of(
        needs_of("aircraft", ("skin",), rule_set="part_25"))  # fmt: skip


@pytest.mark.parametrize(("operator", "hired"), [
    ("part_91", False), ("part_121", True), ("part_135", True), ("part_91_147", True),
])  # fmt: skip
def test_who_flies_for_hire_needs_the_programme(operator: str, hired: bool) -> None:
    """14 CFR 120.105(e), 120.215(a)(5): 121, 135 and 91.147, at any tier."""
    needs = needs_of("aircraft", ("skin",), operator=operator)
    assert (needs.hired is not None) is hired
    assert ("drug and alcohol programme" in text_of(needs)) is hired


@pytest.mark.parametrize("vehicle", ["rail", "motorcycle", "hovercraft"])
def test_where_no_rule_is_known_it_is_said_with_whom_to_ask(vehicle: str) -> None:
    needs = needs_of(vehicle, ("skin",))
    text = text_of(needs, vehicle)
    assert needs.known is None
    assert f"No burn rule is known here for this vehicle ({vehicle})." in text
    assert "Ask its maker, its operator and the authority of the country" in text
    assert needs_json(needs, "HB-1")["rule_known"] is False


def test_a_boat_has_no_limit_known_and_other_countries_have_none() -> None:
    text = text_of(needs_of("boat", ("skin", "adhesive")), "Boat")
    assert "No rule with limits is known here (boat). Ask the boat's maker, its surveyor" in text
    assert "For another country none is known here: ask its authority." in text
    assert "ADHESIVE No rule for it is known here. Ask the boat's maker" in text


def test_lots_on_hand_count_where_they_have_papers_and_may_be_used() -> None:
    lots = [
        lot("A", "skin", use_by="none stated"), lot("B", "thread", use_by="2026-11-29"),
        lot("C", "adhesive", withdrawn={"on": "2026-11-01", "why": "notice"}),
        lot("D", "foam").model_copy(update={"certificates": ()}),
    ]  # fmt: skip
    layers: tuple[Layer, ...] = ("skin", "foam", "thread", "adhesive")
    rivals = [method("long", *layers), method("short", "skin"), method("none")]
    needs = needs_of("aircraft", layers, rivals=rivals, lots=lots, today=TODAY)
    assert [one.method for one in needs.methods] == ["none", "short", "long"]
    assert needs.methods[2].missing == ("foam", "thread", "adhesive")
    text = text_of(needs)
    assert "none: adds nothing." in text and "short: 0 new papers; it adds skin." in text
    assert "On hand with papers: A (m). Whether they fit is not judged here." in text


@pytest.mark.parametrize(("given", "said"), [
    ({"rule_set": "part25"}, 'rule_set: no such rule set; found "part25"; accepted: one of car_3'),
    ({"rule_set": "fmvss_302"}, 'rule_set: a rule for another kind of vehicle than aircraft; '
                                'found "fmvss_302"; accepted: one of car_3, part_23_853,'),
    ({"rule_set": "part_25", "item": "panell"}, "item: no such item in part_25; "),
    ({"operator": "91"}, 'operator: no such rule for operators; found "91"; accepted: one of'),
])  # fmt: skip
def test_words_that_are_not_known_are_refused(given: dict[str, str], said: str) -> None:
    with pytest.raises(BadInput) as told:
        needs_of("aircraft", ("skin",), **given)  # type: ignore[arg-type]
    assert said in str(told.value)


def test_every_source_is_named_and_nothing_is_worded_as_an_approval(pack: RulePack) -> None:
    rules, burn = evidence_rules(), shipped_rules()
    known = {**burn.sources, **rules.sources}
    said = [*rules.evidence, *rules.operators.values(), rules.hired]
    assert all(one.source in known for one in said)
    assert {name for one in rules.vehicles.values() for name in one.rule_sets} <= burn.sets.keys()
    kinds = set(pack.facts["vehicle.kind"].keys)
    assert set(rules.vehicles) | {v for one in rules.evidence for v in one.vehicles} <= kinds
    for vehicle in rules.vehicles:
        text = text_of(needs_of(vehicle, LAYERS), vehicle).lower()
        assert text.count("not an approval") == 1
        assert not any(word in text for word in ("airworthy", "is approved", "may be used as"))


def test_the_command_says_what_an_aircraft_panel_needs(command: Command) -> None:
    case = str(demo_folder() / "aircraft_panel_station.yaml")
    ran = command("papers", "needs", case, "--rule-set", "part_25", "--item", "panel", "--json")
    form = json.loads(ran.out)
    jsonschema.validate(form, SCHEMA)
    assert [one["layer"] for one in form["layers"]] == ["plastic"]
    assert form["methods"][0] == {
        "method": "solvent_weld", "title": "Fuse with solvent", "adds": ["plastic"],
        "new_papers": ["plastic"],
    }  # fmt: skip
    assert form["not_given"] == [
        "The rule that the operator flies under is not given; one of Part 91, private, "
        "Part 121, air carrier, Part 135, charter, 91.147, sightseeing for hire. Ask the station."
    ]
    assert "PLASTIC" in command("papers", "needs", case).out
