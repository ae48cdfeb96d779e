"""What a trim technician must not do, rule by rule: does the program ask, refuse and cite it?

Each row names the rule that forbids the work. Where a row says so, the text of the rule is
from memory; the others were looked up in public text or letters of the authority.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from advisor.advice.advise import advise
from advisor.advice.result import Verdict
from advisor.facts.case import Case
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack


@dataclass(frozen=True)
class Refusal:
    """One thing to be refused: gate, the answer that says it is so, and what must be said."""

    gate: str
    answer: bool | str
    asks: tuple[str, ...]
    """Words of the question that let a technician recognise it."""
    cites: tuple[str, ...]
    """What the source must name."""
    part: str = "seat_cushion"
    vehicle: str = "car"


ROWS = {
    # 49 CFR 571.209 and letters on it: new webbing makes a belt assembly; dye weakens it.
    "belt": Refusal(
        "belt", "in_section", ("webbing", "buckle", "stitching", "dye"), ("FMVSS 209",)),
    # 49 USC 30122(b); trim-trade journals 2012-2019 on covers labelled not to be resewn.
    "airbag seam": Refusal(
        "airbag", "in_section", ("seat side", "pillar", "roof edge", "rim", "skin, seam, cover"),
        ("30122",), "seat_bolster"),
    "curtain bag behind a headlining": Refusal(
        "airbag", "in_section", ("roof edge",), ("30122",), "headlining"),
    "wheel with a bag": Refusal("airbag", "in_section", ("rim",), ("30122",), "steering_wheel_rim"),
    # FMVSS 208 and a letter on occupant sensing.
    "occupant sensor": Refusal(
        "occupant_sensor", "in_section", ("mat", "padding"), ("FMVSS 208",)),
    # Service texts, from memory.
    "heated or ventilated seat": Refusal(
        "heater", "in_section", ("heating", "ventilating"), ("seat heaters",)),
    # FMVSS 207 and 210, from memory.
    "seat frame": Refusal(
        "seat_structure", "in_section", ("frame", "recliner", "track"), ("FMVSS 207", "210")),
    # FMVSS 213, from memory.
    "child seat": Refusal("child_seat", True, ("child",), ("FMVSS 213",)),
    # FMVSS 201 and 202a, from memory.
    "energy absorber": Refusal(
        "energy_absorber", True, ("head restraint", "knee"), ("FMVSS 201", "202a"), "dash_pad"),
    # 14 CFR 43.3, 43.7 (from memory), 145.217.
    "aircraft without a station": Refusal(
        "aircraft_station", False, ("station", "sign"), ("43.3", "43.7", "145.217"),
        "seat_cushion", "aircraft"),
    # 14 CFR 25.562, Federal Register 05-16410: other foam can undo the dynamic seat approval.
    "aircraft seat foam": Refusal(
        "aircraft_cushion", "foam_change", ("foam", "density or shape"), ("25.562",),
        "seat_cushion", "aircraft"),
    # 14 CFR 25.853(c): the layer wholly encloses the foam.
    "fire-block layer": Refusal(
        "aircraft_cushion", "fire_block", ("fire-block",), ("25.853(c)",),
        "seat_cushion", "aircraft"),
    # 14 CFR 65.111, from memory.
    "ejection seat or parachute": Refusal(
        "ejection_seat", True, ("ejection seat", "parachute", "harness"), ("65.111",),
        "seat_cushion", "aircraft"),
    # 14 CFR 120.105 and 120.215: at any tier of subcontract.
    "air carrier, no drug programme": Refusal(
        "aircraft_operator", "not_covered", ("121", "135", "91.147"), ("120.105", "120.215"),
        "seat_cushion", "aircraft"),
    # 14 CFR 29.853 (and 25.853, from memory) test finishes with the material they go on; that
    # nothing goes on without papers follows from 43.13 and 145.201, from memory.
    "material without papers": Refusal(
        "material_papers", "unlisted", ("burn-test paper", "glue", "filler", "dye", "build-up"),
        ("43.13", "29.853"), "rigid_trim", "aircraft"),
    # 14 CFR 145.223(b) and (c).
    "authority kept out": Refusal(
        "authority_access", True, ("authority", "contract"), ("145.223",),
        "seat_cushion", "aircraft"),
    # 29 CFR 1910.1001 and 1910.1025 (from memory); NLM Haz-Map and MMWR on PTFE.
    "asbestos, lead, PTFE": Refusal(
        "suspect_fibres", True, ("fibrous", "lead", "ptfe"), ("1910.1001", "1910.1025", "PTFE"),
        "headlining"),
    # 29 CFR 1910.1030, from memory.
    "biohazard": Refusal(
        "contamination", "soiled", ("blood", "syringe", "sewage"), ("1910.1030",)),
    # Service texts, from memory: qualified persons only.
    "high voltage": Refusal(
        "high_voltage", "in_section", ("orange", "battery"), ("high-voltage",)),
    # UN R118, EN 45545-2 and EN 16989, from memory; a fleet magazine of 2014 on cut barriers.
    "fire block of a bus or rail seat": Refusal(
        "fire_block", "barrier_cut", ("fire-block", "cut, burnt or worn"), ("R118", "45545"),
        "bench_cushion", "rail"),
}  # fmt: skip

every_row = pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())


@pytest.fixture(scope="module")
def pack() -> RulePack:
    return load_pack(rules_folder())


def told(row: Refusal, **more: tuple[str, ...] | bool) -> Case:
    facts = {"part.kind": (row.part,), "vehicle.kind": (row.vehicle,), "damage.kind": ("tear",)}
    return Case("HB-9", facts={**facts, **more})


def question(pack: RulePack, gate: str) -> str:
    """All that the technician reads before answering, in small letters."""
    decl = pack.facts[pack.gates[gate].fact]
    options = [f"{option.title} {option.sentence}" for option in decl.options]
    return " ".join([decl.ask, decl.how, *options]).lower()


def test_every_gate_has_its_row(pack: RulePack) -> None:
    assert {row.gate for row in ROWS.values()} == pack.gates.keys()


@every_row
def test_it_is_asked_outright_and_recognised(row: Refusal, pack: RulePack) -> None:
    assert row.gate in pack.gates_asked(told(row))
    assert [word for word in row.asks if word not in question(pack, row.gate)] == []


@every_row
def test_it_is_refused_with_its_rule(row: Refusal, pack: RulePack) -> None:
    value = row.answer if isinstance(row.answer, bool) else (row.answer,)
    advice = advise(told(row, **{f"gate.{row.gate}": value}), pack, 64, flips=False)
    assert advice.verdict is Verdict.REFER and advice.plan is None
    rule = pack.gates[row.gate]
    title = pack.sources[rule.origin.source].title
    assert [name for name in row.cites if name not in title] == []


def said(pack: RulePack) -> Iterator[str]:
    """Every sentence of the rules that a technician or customer may read."""
    for gate in pack.gates.values():
        yield from (gate.title, gate.refer, gate.caution)
    yield from (caution.text for caution in pack.cautions.values())
    for method in pack.methods.values():
        yield method.title
        yield method.remark
        yield from (step.text for step in method.steps)
        yield from (tip.text for tip in method.tips)
    for decl in pack.facts.values():
        yield from (decl.title, decl.ask, decl.how)
        yield from (f"{option.title} {option.sentence}" for option in decl.options)
    yield from (clause.text for clause in pack.job.exclusions)


APPROVAL = re.compile(
    r"\b(airworth\w*|return(ed|s)? to service|meets the standard|complies with|guarantee[ds]?"
    r"|(is|are) (now )?(safe|approved|released|legal|certified))\b",
    re.IGNORECASE,
)


def test_no_sentence_is_worded_as_an_approval(pack: RulePack) -> None:
    """14 CFR 43.7 (from memory): only an authorised person approves an aircraft part for
    service; 43.12: no false entry. A child restraint "is certified as a whole" by its maker,
    which approves nothing here."""
    found = [text for text in said(pack) if APPROVAL.search(text)]
    assert found == [pack.gates["child_seat"].refer]
    assert "certified as a whole" in found[0]


def test_the_aircraft_caution_says_what_papers_and_who_signs(pack: RulePack) -> None:
    """14 CFR 43.13(a): current data. 29.853 (and 25.853, from memory) test finishes with the
    material, so colour or filler on a skin is a build-up of its own. 43.7 (from memory)."""
    caution = pack.gates["aircraft_station"].caution
    for word in ("data", "revision", "burn-test papers", "dye", "filler", "film", "signs"):
        assert word in caution, word
    assert "this program does not" in caution
