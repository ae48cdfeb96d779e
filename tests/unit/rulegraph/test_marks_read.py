"""What the rules take marks for, and how a case is read before anything is worked out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.facts.case import Case, Value
from advisor.facts.plastic_marks.reader import read_mark
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.marks_read import remarks_on
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.plastics import Reading, agree
from tests.unit.rulegraph.spoiled import Spoiled

#: Hard parts that carry no mark.
UNMARKED = {"fibreboard", "plywood", "metal"}


@pytest.fixture(scope="module")
def pack() -> RulePack:
    from advisor.paths import rules_folder

    return load_pack(rules_folder())


def read(pack: RulePack, text: str, fact: str = "carrier.mark") -> Reading:
    reading = pack.reading(fact, text)
    assert reading is not None
    return reading


def case(**facts: Value) -> Case:
    return Case("HB-1", facts={name.replace("__", "."): value for name, value in facts.items()})


@pytest.mark.parametrize(("text", "options"), [
    (">ABS<", ("abs",)), (">ABS-GF20<", ("abs",)), (">PC+ABS<", ("pc_abs",)),
    ("ABS+PC", ("pc_abs",)), (">ASA<", ("asa",)), (">SAN<", ("asa",)), (">PC<", ("pc",)),
    (">PMMA-I<", ("pmma",)), (">PP<", ("pp",)), (">PP-R<", ("pp",)),
    (">PP-TD20<", ("pp_talc",)), ("PP-T", ("pp_talc",)), (">PP-K40<", ("pp_talc",)),
    (">PP-TD9<", ("pp", "pp_talc")), (">PP-TD10<", ("pp_talc",)),
    (">PP+EPDM<", ("pp_talc",)), (">PP+EPDM-TD5<", ("pp_talc",)), ("TPO", ("pp_talc",)),
    ("E/P", ("pp", "pp_talc")), (">PP-GF30<", ("pp_glass",)),
    (">PP-(GF20+TD10)<", ("pp_glass",)), (">PE-HD<", ("pe",)), (">PE<", ("pe",)),
    (">PVC<", ("pvc_u",)), (">PVC-U<", ("pvc_u",)), (">PA66<", ("pa",)), (">PA<", ("pa",)),
    (">PA6-GF30<", ("pa_glass",)), (">PA6-MD30<", ("pa",)), (">POM<", ("pom",)),
    (">PUR<", ("pur",)), (">PF<", ("pur",)), (">UP-GF30<", ("fibreglass",)),
    ("SMC", ("fibreglass",)), (">PVC,PUR,ABS<", ("abs",)),
])  # fmt: skip
def test_what_marks_of_hard_parts_are_taken_for(
    text: str, options: tuple[str, ...], pack: RulePack
) -> None:
    reading = read(pack, text)
    assert reading.options == options and not reading.problem


@pytest.mark.parametrize(("text", "problem"), [
    (">PBT-GF30<", "the rules have no hard part of this plastic"),
    (">PET<", "the rules have no hard part of this plastic"),
    (">PPE+PA66<", "the rules have no hard part of this plastic"),
    (">PC+PBT<", "the rules have no hard part of this plastic"),
    (">ABS+PA6<", "the rules have no hard part of this plastic"),
    (">PE-LD<", "the rules have no hard part of this plastic (low-density PE does not weld to "
                "high-density PE)"),
    (">PVC-P(DBP)<", "the rules have no hard part of this plastic (soft PVC: that is the skin)"),
    (">PVC,PUR<", ""),
    (">PP-E<", "the rules have no hard part of this plastic (beads of foam: that is padding)"),
    (">PP-NF50<", "the rules have no hard part of this plastic (a board of wood or plant fibre in "
                  "PP, which hot air chars)"),
])  # fmt: skip
def test_a_plastic_of_no_row_is_said_and_not_guessed(
    text: str, problem: str, pack: RulePack
) -> None:
    reading = read(pack, text)
    assert reading.problem == problem
    assert (reading.options == ()) == bool(problem)


def test_every_hard_part_that_may_be_marked_is_read_from_some_mark(pack: RulePack) -> None:
    assert pack.plastics is not None
    said = {option for rule in pack.plastics.marks for option in rule.read}
    assert said >= set(pack.facts["carrier.material"].keys) - UNMARKED


def test_every_rule_for_marks_is_reached(pack: RulePack) -> None:
    """None stands behind one that always takes its marks."""
    assert pack.plastics is not None
    for rule in pack.plastics.marks:
        names = [*rule.has, *rule.any_of[:1]]
        filler = "" if not rule.fillers else f"-{min(rule.fillers)}"
        shares = [0.01, 0.2] if rule.filled is None else [rule.filled + 0.01]
        texts = ["+".join(names) + (f"{filler}D{round(100 * share)}" if filler else "")
                 for share in shares]  # fmt: skip
        softened = [f"{text}-P(DBP)" for text in texts] if rule.plasticized else texts
        found = [pack.plastics.rule_for(read_mark(text)[0]) for text in softened]
        assert rule in found, (softened, rule)


def test_what_is_shown_while_a_mark_is_typed(pack: RulePack) -> None:
    assert read(pack, ">PP+EPDM-TD20<").words == (
        "PP with EPDM, 20 % talc powder. Taken as: PP with talc or EPDM. "
        "About 1.03 g/cm³: sinks in water, floats in saturated salt water."
    )
    assert read(pack, ">PBT<").words == (
        "PBT. The rules have no hard part of this plastic. "
        "About 1.31 g/cm³: sinks in water and in saturated salt water."
    )
    assert read(pack, ">PVC,PUR,ABS<").words.startswith(
        "3 layers: PVC; PUR; ABS; the last one is taken for the hard part. Taken as: ABS. "
    )
    assert read(pack, "ABX").words.startswith('Not read as a mark. No such plastic; found "ABX"')
    assert read(pack, "ABX", "carrier.piece_mark").words.endswith(
        "Taken as: Another plastic, or not known."
    )
    assert pack.reading("damage.kind", ">ABS<") is None


@pytest.mark.parametrize("text", [">PC-FR(40)<", ">PVC-P<", ">PUR<", ">PP-T<", ">PP-QD10<"])
def test_no_density_where_something_is_not_told(text: str, pack: RulePack) -> None:
    assert read(pack, text).density is None
    assert "g/cm³" not in read(pack, text).words


# -- a case is read before it is worked out -----------------------------------------


def test_a_mark_answers_the_open_question(pack: RulePack) -> None:
    told = case(carrier__mark=">PP+EPDM-TD20<")
    known = pack.as_read(told)
    assert known.facts["carrier.material"] == ("pp_talc",)
    assert known.read == {"carrier.material": "carrier.mark"}
    assert "carrier.material" not in told.facts
    assert pack.as_read(known) == known and pack.as_read(known).read == known.read


def test_a_mark_narrows_what_was_left_possible(pack: RulePack) -> None:
    several = case(carrier__mark=">ABS<", carrier__material=("abs", "pp", "pc_abs"))
    assert pack.as_read(several).facts["carrier.material"] == ("abs",)
    wide = case(carrier__mark="E/P", carrier__material=("pp",))
    assert pack.as_read(wide).facts["carrier.material"] == ("pp",)
    assert not remarks_on(pack, wide) and not remarks_on(pack, several)


def test_another_answer_to_the_mark_is_read_anew(pack: RulePack) -> None:
    known = pack.as_read(case(carrier__mark=">ABS<"))
    assert pack.as_read(known.with_fact("carrier.mark", ">POM<")).facts[
        "carrier.material"
    ] == ("pom",)
    assert "carrier.material" not in pack.as_read(known.without("carrier.mark")).facts
    own = known.with_fact("carrier.material", ("pp",))
    assert own.read == {} and pack.as_read(own).facts["carrier.material"] == ("pp",)


def test_mark_and_answer_that_differ_are_told(pack: RulePack) -> None:
    told = case(carrier__mark=">ABS<", carrier__material=("pp",))
    assert pack.as_read(told).facts["carrier.material"] == ("pp",)
    (remark,) = remarks_on(pack, told)
    assert remark.doubt and remark.fact == "carrier.mark"
    assert remark.text == (
        "The mark >ABS< says ABS, the answer to “carrier” is “PP, unfilled”: one of them is wrong. "
        "Is it the mark of this part? The answer is used until that is decided."
    )


def test_a_kind_of_what_was_answered_does_not_differ(pack: RulePack) -> None:
    decl = pack.facts["carrier.material"]
    assert agree(decl, ("pp_glass",), ("pp",)) == ("pp_glass",)
    assert agree(decl, ("pp",), ("pp_glass",)) == ("pp",)
    assert agree(decl, ("pp",), ("pe",)) == ()
    assert not remarks_on(pack, case(carrier__mark=">PP-GF30<", carrier__material=("pp",)))


@pytest.mark.parametrize(("facts", "text"), [
    ({"carrier.mark": ">PBT<"},
     "The mark >PBT< says PBT: the rules have no hard part of this plastic; “carrier” stays open."),
    ({"carrier.mark": "worn away"},
     "The mark “worn away” could not be read: no such plastic; found \"WORN\"; accepted: a mark "
     "such as >ABS<, >PC+ABS<, >PP-TD20<, >PP+EPDM-TD20<, >PA66-(GF25+MD15)<; “carrier” stays "
     "open."),
    ({"carrier.mark": ">PBT<", "carrier.material": ("pa",)},
     "The mark >PBT< says PBT: the rules have no hard part of this plastic; the answer to "
     "“carrier” is used."),
    ({"carrier.piece_mark": ">PBT<"},
     "The mark >PBT< says PBT: the rules have no hard part of this plastic; taken as: another "
     "plastic, or not known."),
])  # fmt: skip
def test_a_mark_that_says_nothing_known_is_told(
    facts: dict[str, Value], text: str, pack: RulePack
) -> None:
    told = Case("HB-1", facts=facts)
    (remark,) = remarks_on(pack, told)
    assert (remark.text, remark.doubt) == (text, False)
    assert pack.as_read(told).facts.get("carrier.material") == facts.get("carrier.material")


def test_what_narrows_the_plastic_is_asked_only_while_it_is_open(pack: RulePack) -> None:
    def asked(**facts: Value) -> set[str]:
        told = case(part__kind=("rigid_trim",), vehicle__kind=("car",),
                    damage__kind=("carrier_crack",), **facts)  # fmt: skip
        return {decl.name for decl in pack.asked(told)} & {
            "carrier.mark", "carrier.material", "carrier.floats", "carrier.feel", "carrier.cut"
        }  # fmt: skip

    tests = {"carrier.floats", "carrier.feel", "carrier.cut"}
    both = {"carrier.mark", "carrier.material"}
    assert asked() == both | tests
    assert asked(carrier__material=("abs", "pp")) == both | tests
    assert asked(carrier__material=("abs",)) == both
    assert asked(carrier__mark=">ABS<") == both
    assert asked(carrier__mark="E/P") == both | tests
    assert asked(carrier__mark=">ABS<", carrier__floats=("brine",)) == both | {"carrier.floats"}
    assert asked(carrier__material=("plywood",)) == both


def test_a_pack_without_the_file_reads_nothing(pack: RulePack) -> None:
    bare = replace(pack, plastics=None)
    told = case(carrier__mark=">ABS<")
    assert bare.reading("carrier.mark", ">ABS<") is None and bare.as_read(told) is told


# -- a file that is wrong --------------------------------------------------------


@pytest.mark.parametrize(("file", "old", "new", "field", "problem", "found", "nearest"), [
    ("plastics.yaml", "  ABS: {row: abs}", "  ABX: {row: abs}", "polymers.ABX",
     "no such polymer", "ABX", "CAB"),
    ("plastics.yaml", "  ABS: {row: abs}", "  ABS: {row: abz}", "polymers.ABS.row",
     "no such row", "abz", "abs"),
    ("plastics.yaml", "  ABS: {row: abs}", "  ABS: {}", "polymers.ABS",
     "give row or density, not both", "", ""),
    ("plastics.yaml", "only: [ABS], read: [abs]", "only: [ABS], read: [abz]", "marks.7.read.0",
     "no such answer", "abz", "abs"),
    ("plastics.yaml", "has: [PMMA]", "has: [PMMAA]", "marks.10.has.0",
     "no such polymer", "PMMAA", "PMMA"),
    ("plastics.yaml", "column: density", "column: densty", "column",
     "no such column", "densty", "density"),
    ("plastics.yaml", "fillers: [G, C]\n    read: [pp_glass]",
     "fillers: [GF, C]\n    read: [pp_glass]",
     "marks.12.fillers.0", "no such kind of filler", "GF", "G"),
    ("plastics.yaml", "read: [pmma], source: iso11469", "read: [pmma], source: iso1146", "marks.10",
     "no such source", "iso1146", "iso11469"),
    ("facts/", "  reads: {fact: carrier.material}", "  reads: {fact: carrier.materal}",
     "carrier.mark.reads.fact", "no such choice", "carrier.materal", "carrier.material"),
    ("facts/", "unread: other}", "unread: othr}", "carrier.piece_mark.reads.unread",
     "no such option", "othr", "other"),
])  # fmt: skip
def test_what_is_wrong_is_told_with_its_place(
    file: str, old: str, new: str, field: str, problem: str, found: str, nearest: str,
    spoiled: Spoiled,
) -> None:  # fmt: skip
    start = spoiled.edit(file, old, new)
    fault = next(fault for fault in spoiled.faults() if fault.field.startswith(field))
    assert (fault.problem, fault.found, fault.nearest) == (problem, found, nearest)
    assert bool(fault.accepted) == bool(found)
    assert fault.line == spoiled.place(file, new, start)[0] and fault.column > 1


def test_a_message_in_full(spoiled: Spoiled) -> None:
    spoiled.edit("plastics.yaml", "only: [ABS], read: [abs]", "only: [ABS], read: [abz]")
    (fault,) = spoiled.faults()
    line, column = spoiled.place("plastics.yaml", "abz")
    assert fault.text == (
        f"{spoiled.folder / 'plastics.yaml'}:{line}:{column}: marks.7.read.0: no such answer; "
        'found "abz"; accepted: such as abs, pc_abs, pp, pp_talc, pe, pvc_u, pa, pom '
        "(did you mean abs?)"
    )


def test_a_mark_needs_the_file_to_be_read(spoiled: Spoiled) -> None:
    (spoiled.folder / "plastics.yaml").unlink()
    faults = spoiled.faults()
    assert {fault.field for fault in faults} == {"carrier.mark.reads", "carrier.piece_mark.reads"}
    assert all(fault.accepted == "plastics.yaml" for fault in faults)


def test_only_a_text_is_read(spoiled: Spoiled) -> None:
    spoiled.edit("facts/", "  title: Float test\n", "  title: Float test\n"
                 "  reads: {fact: carrier.material}\n")  # fmt: skip
    (fault,) = spoiled.faults()
    assert fault.problem == "only a text is read for another fact"
