"""What a mark, a float test and the other piece make of the advice."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.advice.advise import advise
from advisor.advice.result import Advice, FactState, Origin, Status, Verdict
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span, Value
from advisor.job.measured_and_agreed import Wishes
from advisor.job.quantities.hard import welding_rod
from advisor.job.quantities.inputs import Inputs
from advisor.job.sample import Sample
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.asked import ChoicePrior
from advisor.rulegraph.model.pack import RulePack

N = 4096
PLASTIC = "carrier.material"


#: What the part may be made of as long as nobody says, the same for every part here.
USUAL = {"abs": 30, "pc_abs": 12, "pp": 14, "pp_talc": 26, "pe": 3, "pvc_u": 2, "pa": 5, "pom": 2,
         "pur": 4, "fibreglass": 2}  # fmt: skip


@pytest.fixture(scope="module")
def pack() -> RulePack:
    shipped = load_pack(rules_folder())
    rule = shipped.fact_rules[PLASTIC]
    weights = np.array([USUAL.get(key, 0) for key in rule.decl.keys]) / sum(USUAL.values())
    even = replace(rule, prior=ChoicePrior((), weights), by_part={})
    return replace(shipped, fact_rules={**shipped.fact_rules, PLASTIC: even})


def crack(pack: RulePack, **facts: Value) -> Case:
    """A cracked panel, everything told but its plastic; no hazard."""
    told: dict[str, Value] = {
        "part.kind": ("rigid_trim",), "vehicle.kind": ("car",),
        "damage.kind": ("carrier_crack",), "damage.length": Span(150, 150),
        "damage.count": Span(1, 1), "damage.at_load_point": False,
        "damage.missing_material": False, "carrier.thickness": Span(3, 3),
        "skin.material": ("none",), "core.material": ("none",), "access.back": ("free",),
        "part.available": False,
    }  # fmt: skip
    told |= {name.replace("__", "."): value for name, value in facts.items()}
    for gate in pack.gates.values():
        decl = pack.facts[gate.fact]
        answers: list[Value] = [(key,) for key in decl.keys] or [False, True]
        alone = [a for a in answers if not gate.closed_when.known(Case("x", facts={gate.fact: a}))]
        told.setdefault(gate.fact, alone[-1] if decl.keys else False)
    return Case("HB-1", facts=told)


def shares(told: Case, pack: RulePack) -> dict[str, float]:
    worlds = SampledWorlds(told, pack, N)
    codes = worlds.values[PLASTIC]
    keys = pack.facts[PLASTIC].keys
    return {key: worlds.mean(codes == code) for code, key in enumerate(keys)}


def state(advice: Advice, fact: str) -> FactState:
    return next(s for s in advice.facts if s.fact == fact)


def because(advice: Advice, method: str) -> tuple[Status, str]:
    found = next(m for m in advice.methods if m.method == method)
    return found.status, found.because[0].text


# -- the mark ---------------------------------------------------------------------


def test_a_mark_counts_as_the_answer_it_says(pack: RulePack) -> None:
    marked = advise(crack(pack, carrier__mark=">PP+EPDM-TD20<"), pack, 512)
    told = advise(crack(pack, carrier__material=("pp_talc",)), pack, 512)
    assert (marked.verdict, marked.methods, marked.plan) == (
        told.verdict, told.methods, told.plan
    )  # fmt: skip
    assert state(marked, PLASTIC).text == "PP with talc or EPDM, read from the mark >PP+EPDM-TD20<"
    assert state(marked, PLASTIC).origin is Origin.TOLD
    assert state(told, PLASTIC).text == "PP with talc or EPDM"
    note = (
        "Carrier read from the mark >PP+EPDM-TD20< (PP with EPDM, 20 % talc powder): "
        "PP with talc or EPDM."
    )
    assert note in marked.notes and note not in told.notes


def test_a_mark_of_two_candidates_leaves_both_by_their_prior(pack: RulePack) -> None:
    free, some = shares(crack(pack), pack), shares(crack(pack, carrier__mark="E/P"), pack)
    assert some["pp"] + some["pp_talc"] == pytest.approx(1.0)
    assert some["pp"] == pytest.approx(free["pp"] / (free["pp"] + free["pp_talc"]), abs=0.01)


@pytest.mark.parametrize("mark", [">PBT-GF30<", "worn away", ">PE-LD<"])
def test_a_mark_of_no_known_plastic_leaves_the_spread_and_a_finding(
    mark: str, pack: RulePack
) -> None:
    told = crack(pack, carrier__mark=mark)
    assert shares(told, pack) == shares(crack(pack), pack)
    advice = advise(told, pack, 512, flips=False)
    assert any(mark in finding and "stays open" in finding for finding in advice.findings)
    assert state(advice, PLASTIC).origin is Origin.ASSUMED


def test_nothing_is_settled_while_mark_and_answer_differ(pack: RulePack) -> None:
    told = crack(pack, carrier__mark=">ABS<", carrier__material=("pp",))
    advice = advise(told, pack, 512, flips=False)
    assert advice.verdict is Verdict.ASK
    first = next(q for q in advice.ask if q.fact == "carrier.mark")
    assert first.worth_asking and first.ask.startswith("Check again: ")
    assert advice.findings == (first.why,)
    assert advice.plan is None and advice.methods == ()


# -- float and feel -----------------------------------------------------------------


def test_what_floats_is_pp_or_pe_and_what_sinks_may_still_be_filled_pp(pack: RulePack) -> None:
    """The trap: talc-filled PP sinks in water as ABS does (1.045 with 20 % talc)."""
    free = shares(crack(pack), pack)
    light = shares(crack(pack, carrier__floats=("water",)), pack)
    middle = shares(crack(pack, carrier__floats=("brine",)), pack)
    heavy = shares(crack(pack, carrier__floats=("sinks",)), pack)
    olefins = ("pp", "pp_talc", "pe")
    assert sum(light[key] for key in olefins) > 0.8 > sum(free[key] for key in olefins)
    assert light["abs"] < 0.05 < free["abs"] < middle["abs"]
    assert middle["pp_talc"] > free["pp_talc"] and middle["pp"] < 0.05
    assert middle["pp_talc"] > 0.25, "filled PP must stay a candidate among what sinks in water"
    assert heavy["pvc_u"] + heavy["pom"] + heavy["fibreglass"] > 0.7


def test_the_float_test_weighs_by_density_as_by_hand(pack: RulePack) -> None:
    """Bayes, worked out by hand from the density of every world."""
    free = SampledWorlds(crack(pack), pack, N)
    seen = SampledWorlds(crack(pack, carrier__floats=("water",)), pack, N)
    density = free.values["carrier.density"]
    bands = [density <= 0.985, density <= 1.015, density <= 1.185]
    odds = np.select(bands, [0.97, 0.5, 0.02], 0.01)
    by_hand = free.weights * odds
    assert seen.weights == pytest.approx(by_hand / by_hand.sum())


def test_feel_and_cut_shift_the_weights(pack: RulePack) -> None:
    free = shares(crack(pack), pack)
    waxy = shares(crack(pack, carrier__feel=("waxy_soft",)), pack)
    crumbs = shares(crack(pack, carrier__cut=("crumbles",)), pack)
    assert waxy["pe"] > 5 * free["pe"]
    thermosets = ("pur", "fibreglass")
    assert sum(crumbs[k] for k in thermosets) > 3 * sum(free[k] for k in thermosets)


def test_no_test_by_hand_makes_a_plastic_certain(pack: RulePack) -> None:
    told = crack(pack, carrier__floats=("brine",), carrier__feel=("hard",), carrier__cut=("curl",))
    found = shares(told, pack)
    assert max(found.values()) < 0.8
    assert sum(share > 0.03 for share in found.values()) >= 3


def test_a_float_test_that_fits_nothing_is_a_finding(pack: RulePack) -> None:
    told = crack(pack, carrier__mark=">ABS<", carrier__floats=("water",))
    advice = advise(told, pack, 512, flips=False)
    assert advice.findings == (pack.fact_rules["carrier.floats"].finding,)
    assert advice.verdict is Verdict.ASK
    assert "carrier.floats" in {q.fact for q in advice.ask if q.worth_asking}
    fits = crack(pack, carrier__mark=">ABS<", carrier__floats=("brine",))
    assert advise(fits, pack, 512, flips=False).findings == ()


# -- the other piece -------------------------------------------------------------------

REFUSED = "The other piece does not fuse with this plastic"


@pytest.mark.parametrize(("part", "piece", "fuses"), [
    ("pp", "none", True), ("pp", "same", True), ("pur", "same", False),
    ("pp", "pp", True), ("pp", "pp_talc", True), ("pp_talc", "pp", True), ("pp_glass", "pp", True),
    ("pp", "pe", False), ("pe", "pp", False), ("pp_talc", "pe", False),
    ("pe", "pe", True), ("pe", "pe_ld", False),
    ("abs", "abs", True), ("abs", "pc_abs", True), ("abs", "pmma", True), ("abs", "asa", True),
    ("pc_abs", "abs", True), ("pc", "pmma", True), ("asa", "abs", True),
    ("abs", "pp", False), ("abs", "pvc_u", False), ("pvc_u", "pvc_u", True),
    ("pvc_u", "pmma", False), ("pa", "pa", True), ("pa_glass", "pa", True), ("pa", "abs", False),
    ("abs", "pur", False), ("abs", "fibreglass", False), ("pp", "other", False),
])  # fmt: skip
def test_which_pairs_are_welded(part: str, piece: str, fuses: bool, pack: RulePack) -> None:
    """Welding institute's answers on unlike plastics and a welding primer."""
    told = crack(pack, damage__missing_material=True, carrier__material=(part,),
                 carrier__piece=(piece,))  # fmt: skip
    status, text = because(advise(told, pack, 256, flips=False), "plastic_weld")
    assert (status is not Status.NOT_POSSIBLE) == fuses, text
    if part != "pur" and not fuses:
        assert text.startswith(REFUSED)


@pytest.mark.parametrize(("part", "piece", "dissolves"), [
    ("abs", "none", True), ("abs", "abs", True), ("abs", "pvc_u", False), ("pvc_u", "pvc_u", True),
    ("pvc_u", "abs", False), ("abs", "pc_abs", False), ("abs", "other", False),
])  # fmt: skip
def test_which_pairs_are_fused_with_solvent(
    part: str, piece: str, dissolves: bool, pack: RulePack
) -> None:
    told = crack(pack, carrier__material=(part,), carrier__piece=(piece,))
    status, text = because(advise(told, pack, 256, flips=False), "solvent_weld")
    assert (status is not Status.NOT_POSSIBLE) == dissolves, text
    if not dissolves:
        assert text.startswith("The other piece does not dissolve in the same solvent")


@pytest.mark.parametrize("mark", [">PE-HD<", ">PBT<", "smudged"])
def test_a_piece_by_its_mark(mark: str, pack: RulePack) -> None:
    told = crack(pack, carrier__mark=">PP<", carrier__piece_mark=mark)
    assert because(advise(told, pack, 256, flips=False), "plastic_weld")[0] is Status.NOT_POSSIBLE
    alike = told.with_fact("carrier.piece_mark", ">PP-TD20<")
    assert because(advise(alike, pack, 256, flips=False), "plastic_weld")[0] is not (
        Status.NOT_POSSIBLE
    )


def test_an_unknown_part_is_refused_a_piece_as_often_as_it_would_not_fuse(pack: RulePack) -> None:
    told = crack(pack, carrier__piece=("abs",))
    found = shares(crack(pack), pack)
    worlds = SampledWorlds(told, pack, N)
    fuses = worlds.mean(worlds.values["carrier.piece_welds"])
    assert fuses == pytest.approx(sum(found[k] for k in ("abs", "pc_abs", "asa", "pmma", "pc")))


# -- the job sheet ------------------------------------------------------------------------


@pytest.mark.parametrize(("facts", "words", "air"), [
    ({"carrier.material": ("pp_talc",)}, "PP with talc or EPDM: the same plastic only", True),
    ({"carrier.mark": ">PP-TD20<"}, "PP with talc or EPDM, marked >PP-TD20<: the same plastic only",
     True),
    ({"carrier.mark": "pp td20"},
     "PP with talc or EPDM, marked “pp td20”: the same plastic only", True),
    ({"carrier.mark": ">PP-GF30<"}, "PP with glass fibre, marked >PP-GF30<: the same plastic only",
     True),
    ({}, "First find out which plastic it is (", False),
])  # fmt: skip
def test_the_rod_is_of_the_plastic_of_the_part(
    facts: dict[str, Value], words: str, air: bool, pack: RulePack
) -> None:
    told = crack(pack)
    for name, value in facts.items():
        told = told.with_fact(name, value)
    sample = Sample(SampledWorlds(told, pack, 512), Wishes())
    amounts = {a.key: a for a in welding_rod(sample, Inputs(sample, {}))}
    assert amounts["rod"].words.startswith(words)
    assert ("air" in amounts) == air
    assert amounts["rod_mass"].value.typical > 0


# -- what to ask ---------------------------------------------------------------------------


def test_the_mark_is_asked_before_the_plastic_it_says(pack: RulePack) -> None:
    """Where the plastic is worth knowing, the mark is the quick way to it."""
    told = crack(pack, vehicle__kind=("bus",), damage__at_load_point=True)
    asked = [question.fact for question in advise(told, pack, N, flips=False).ask]
    assert asked.index("carrier.mark") == asked.index(PLASTIC) - 1
    known = told.with_fact("carrier.mark", "not to be read")
    asked = [question.fact for question in advise(known, pack, N, flips=False).ask]
    assert "carrier.mark" not in asked and PLASTIC in asked
    settled = told.with_fact("carrier.mark", ">ABS<")
    asked = [question.fact for question in advise(settled, pack, N, flips=False).ask]
    assert not {"carrier.mark", PLASTIC, "carrier.floats"} & set(asked)
