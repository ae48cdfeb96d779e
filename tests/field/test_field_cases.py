"""Fifty-two damages with what experienced repairers would do, against the shipped rules."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest

from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from tests.field.gates import harmless_answer, read_open_gates, with_open_gates_checked
from tests.field.scoring import (
    BAR_RIGHT,
    Answer,
    Expectation,
    is_right,
    settled_target,
    splits,
    strawmen,
)
from tests.field.table import (
    answers_to,
    case_files,
    read_ask_words,
    read_asking,
    read_expectations,
    run,
)
from tests.field.week_cases import read_method_words

EXPECTED = read_expectations()
WORDS = read_ask_words()
OPEN_GATES = read_open_gates()
#: What the trade does and no method of the rules does yet.
WORDS_WITHOUT_RULES = {"laminate", "refinish", "rigid_fill"}
Run = tuple[dict[str, Case], dict[str, Answer]]


@pytest.fixture(scope="module")
def pack() -> RulePack:
    return load_pack()


@pytest.fixture(scope="module")
def answered(pack: RulePack) -> Run:
    return run(pack)


def by_case(gate: bool | None = None) -> list[Expectation]:
    return [e for e in EXPECTED.values() if gate is None or e.gate is gate]


def test_every_case_has_an_expectation_and_the_other_way_round() -> None:
    assert sorted(EXPECTED) == [f"FC-{number:02d}" for number in range(1, 53)]
    assert sorted(path.stem.upper() for path in case_files()) == sorted(EXPECTED)
    assert sum(e.ambiguous for e in EXPECTED.values()) == 6


@pytest.mark.parametrize("path", case_files(), ids=lambda path: path.stem)
def test_reads_without_fault(path: Path, pack: RulePack) -> None:
    case = read_case(path, pack.facts, methods=tuple(pack.methods))
    assert case.name == path.stem.upper()
    assert case.note


def test_expectations_use_known_words(pack: RulePack) -> None:
    assert not WORDS_WITHOUT_RULES & pack.methods.keys()
    coarser = read_method_words().coarser.values()
    known = {*pack.methods, "refer", *WORDS_WITHOUT_RULES, *coarser}
    for e in EXPECTED.values():
        assert known.issuperset(e.accepted) and known.issuperset(e.unacceptable)
        assert not set(e.accepted) & set(e.unacceptable)
        assert WORDS.keys() >= set(e.ask_first)
    assert pack.facts.keys() >= {fact for facts in WORDS.values() for fact in facts}
    asked = {word for e in EXPECTED.values() for word in e.ask_first}
    assert asked == WORDS.keys()


def test_enough_are_right(answered: Run) -> None:
    _, answers = answered
    wrong = [f"{e.case}: {answers[e.case]}" for e in by_case() if not right(e, answers)]
    assert len(EXPECTED) - len(wrong) >= BAR_RIGHT, "\n".join(wrong)


@pytest.mark.parametrize("expected", by_case(True), ids=lambda e: e.case)
def test_no_gate_case_is_wrong(expected: Expectation, answered: Run) -> None:
    answer = answered[1][expected.case]
    assert right(expected, answered[1]), f"{answer}; {expected.reason}"


def test_gates_left_open_are_these(answered: Run, pack: RulePack) -> None:
    for name, case in answered[0].items():
        wanted = {pack.gates[key].fact for key in pack.gates_asked(case)}
        assert wanted - case.facts.keys() == set(OPEN_GATES.get(name, ())), name


def test_what_is_no_hazard_is_answered_no(pack: RulePack) -> None:
    """But for the station that accepts an aircraft job, where no is what stops it."""
    seen = set()
    for kind, vehicle in product(pack.parts, pack.facts["vehicle.kind"].keys):
        case = Case("HB-1", facts={"part.kind": (kind,), "vehicle.kind": (vehicle,)})
        for key in pack.gates_asked(case):
            if not pack.gates[key].closed_when.known(case):
                wanted = (True,) if key == "aircraft_station" else (False, ("none",))
                assert harmless_answer(case, pack, pack.gates[key]) in wanted, (kind, vehicle, key)
                seen.add(key)
    assert seen == pack.gates.keys()


def test_a_question_without_one_harmless_answer_is_not_guessed(pack: RulePack) -> None:
    case = Case("HB-1", facts={"part.kind": ("armrest",), "vehicle.kind": ("car",)})
    airbag = pack.gates["airbag"]
    with pytest.raises(ValueError, match="one answer should be harmless"):
        harmless_answer(case, pack, replace(airbag, caution_when=None))
    belt = Case("HB-1", facts={"part.kind": ("seat_belt",), "vehicle.kind": ("car",)})
    assert harmless_answer(belt, pack, pack.gates["belt"]) is None


def test_every_clear_case_that_asks_has_its_reason_written_down(answered: Run) -> None:
    """Whoever settles a case, or makes one ask, says so in ``asking.yaml``."""
    _, answers = answered
    told = read_asking()
    asking = {e.case for e in by_case() if not e.ambiguous and not answers[e.case].settled}
    assert set(told) == asking
    for name, entry in told.items():
        assert entry["asks"] in answers[name].asked, (name, answers[name].asked)
        assert isinstance(entry["rightly"], bool) and len(entry["reason"]) > 40, name


@pytest.mark.parametrize("name", sorted(OPEN_GATES))
def test_an_open_gate_never_ends_in_a_plan(name: str, answered: Run) -> None:
    answer = answered[1][name]
    assert answer.verdict in ("ask", "refer"), answer
    if answer.verdict == "ask":
        assert set(OPEN_GATES[name]) & set(answer.asked), answer


def test_enough_settle_once_the_open_hazards_are_looked_for(
    answered: Run, pack: RulePack
) -> None:
    """With a hazard open nothing may settle, so the share is held where none is."""
    cases, answers = answered
    checked = answers_to(with_open_gates_checked(cases, pack), pack)
    assert settled_target(EXPECTED, {**answers, **checked}, WORDS).met


def test_programs_that_know_nothing_score_lower(answered: Run) -> None:
    _, answers = answered
    mine = splits(EXPECTED, answers, WORDS)["all"].points
    others = {k: splits(EXPECTED, s, WORDS)["all"].points for k, s in strawmen(answers).items()}
    assert max(others.values()) < mine, others


def right(expected: Expectation, answers: dict[str, Answer]) -> bool:
    return is_right(expected, answers[expected.case], WORDS)
