"""Marks and densities of plastics against published examples, tables and data sheets."""

from __future__ import annotations

import pytest

from advisor.facts.plastic_marks.mark import Filler, PlasticMark
from advisor.facts.plastic_marks.reader import read_mark
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.plastics import BRINE, WATER, floating


@pytest.fixture(scope="module")
def pack() -> RulePack:
    return load_pack(rules_folder())


@pytest.mark.parametrize(("text", "mark"), [
    (">ABS<", PlasticMark(("ABS",))),
    (">PC+ABS<", PlasticMark(("PC", "ABS"))),
    (">PP-MD30<", PlasticMark(("PP",), (Filler("M", "D", 0.3),), 0.3)),
    (">PS-HI-GF20<", PlasticMark(("PS-HI",), (Filler("G", "F", 0.2),), 0.2)),
    (">PA66-(GF25+MD15)<",
     PlasticMark(("PA66",), (Filler("G", "F", 0.25), Filler("M", "D", 0.15)), 0.4)),
    (">PVC-P(DBP)<", PlasticMark(("PVC-P",), plasticizer=("DBP",))),
    (">ABS(REC30)<", PlasticMark(("ABS",), recycled=0.3)),
])  # fmt: skip
def test_examples_of_the_standard(text: str, mark: PlasticMark) -> None:
    """ISO 11469:2016, examples of single plastics, blends, fillers, plasticizer and recycled
    content, as public extracts have them."""
    assert read_mark(text) == (mark,)
    assert mark.written == text


def test_layers_of_the_standard() -> None:
    """ISO 11469: a visible film of PVC over PUR on an insert of ABS (from memory)."""
    assert [m.symbols for m in read_mark(">PVC,PUR,ABS<")] == ["PVC", "PUR", "ABS"]


@pytest.mark.parametrize(("code", "fillers"), [
    ("GF", (Filler("G", "F"),)),
    ("GCM", (Filler("G", "CM"),)),
    ("(GF+MD)", (Filler("G", "F"), Filler("M", "D"))),
    ("MED(AL)", (Filler("ME", "D"),)),
])  # fmt: skip
def test_fillers_of_the_standard(code: str, fillers: tuple[Filler, ...]) -> None:
    """ISO 1043-2:2011 clause 2, examples: glass fibre, chopped-strand mat, a mixture, aluminium
    powder."""
    (mark,) = read_mark(f">PP-{code}<")
    assert mark.fillers == fillers and mark.filled is None


def test_flame_retardant_of_the_standard() -> None:
    """ISO 1043-4:1998: FR and one or more code numbers."""
    (mark,) = read_mark(">PA66-GF30-FR(52)<")
    assert mark.flame_retardant == ("52",)


@pytest.mark.parametrize(("text", "low", "high"), [
    # Data sheets of a compounder: 20 % talc 1.05 (2009), 40 % talc 1.28; usual 1.22 to 1.28.
    (">PP-TD20<", 1.04, 1.06),
    (">PP-TD40<", 1.22, 1.28),
    # A vehicle maker's material specification, 2009.
    (">PP+EPDM-TD20<", 0.98, 1.05),
    # Plastics makers' tables (from memory): 1.36 to 1.37, 1.12 to 1.15, 1.10 to 1.15.
    (">PA66-GF30<", 1.36, 1.38),
    (">PP-GF30<", 1.11, 1.15),
    (">PC+ABS<", 1.10, 1.16),
    # Table of polymer densities: PC+ABS with 20 % glass 1.25, glass-filled PP 1.00 to 1.15.
    (">PC+ABS-GF20<", 1.22, 1.32),
    (">PP-GF10<", 0.96, 1.0),
    # Talc or chalk in PP 0.95 to 1.25, a moulder's page on PP.
    (">PP-TD10<", 0.95, 1.25),
    (">PP-K40<", 0.95, 1.25),
])  # fmt: skip
def test_density_by_the_rule_of_mixture(
    text: str, low: float, high: float, pack: RulePack
) -> None:
    reading = pack.reading("carrier.mark", text)
    assert reading is not None and reading.density is not None
    assert low <= reading.density[1] <= high
    assert reading.density[0] <= reading.density[1] <= reading.density[2]


def test_talc_beyond_a_seventh_sinks_polypropylene(pack: RulePack) -> None:
    """Threshold 0.142 from additive volumes, with the densities of the shipped rules."""
    assert pack.plastics is not None
    polymer, talc = pack.plastics.polymers["PP"][1], pack.plastics.fillers["T"][1]
    threshold = (1 / polymer - 1 / WATER) / (1 / polymer - 1 / talc)
    assert threshold == pytest.approx(0.142, abs=0.0005)
    for share, side in ((0.13, "lighter"), (0.16, "heavier")):
        mark = PlasticMark(("PP",), (Filler("T", "D", share),), share)
        density = pack.plastics.density(mark)
        assert density is not None
        assert (density[1] > WATER) == (side == "heavier")


def test_saturated_salt_water() -> None:
    """Physico-chemical tables, Warsaw 1974: 24 and 26 mass % NaCl at 20 degC have 1180.4 and
    1197.2 kg/m3; saturated is 26.3 to 26.4 %."""
    per_percent = (1197.2 - 1180.4) / 2.0
    assert 1197.2 + 0.35 * per_percent == pytest.approx(1e3 * BRINE, abs=1.0)


@pytest.mark.parametrize(("text", "words"), [
    (">PE-HD<", "floats in water"),
    (">PP<", "floats in water"),
    (">ABS<", "sinks in water, floats in saturated salt water"),
    (">SAN<", "sinks in water, floats in saturated salt water"),
    (">PA6<", "sinks in water, floats in saturated salt water"),
    (">PP-TD20<", "sinks in water, floats in saturated salt water"),
    (">PVC-U<", "sinks in water and in saturated salt water"),
    (">POM<", "sinks in water and in saturated salt water"),
])  # fmt: skip
def test_float_test_of_the_guides(text: str, words: str, pack: RulePack) -> None:
    """Plastics identification pages: water lifts PP and PE, brine ABS, SAN and PA, PVC and POM
    sink; the trap is talc in PP."""
    reading = pack.reading("carrier.mark", text)
    assert reading is not None and reading.density is not None
    assert floating(reading.density) == words
