"""Answers, faults, loads and hints as the window words them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.advice.result import Source
from advisor.facts.case import Case, Span
from advisor.facts.faults import AnswerError
from advisor.facts.quantity import System
from advisor.session import answer_text as words
from advisor.wording.figures import Range
from tests.unit.session.small_pack import SmallPack, load, small_advise

FACTS = SmallPack().facts
CASE = Case("HB-1")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "open"),
        (True, "yes"),
        (False, "no"),
        (("vinyl",), "Vinyl"),
        (("vinyl", "leather"), "Vinyl or Leather"),
    ],
)
def test_answers_in_words(value, text: str) -> None:
    assert words.answer_text(FACTS["skin.material"], value, System.METRIC) == text


def test_a_length_is_shown_in_the_units_in_use() -> None:
    fact = FACTS["damage.gap"]
    assert words.answer_text(fact, Span(25.4, 25.4), System.METRIC) == "25.4 mm"
    assert words.answer_text(fact, Span(25.4, 25.4), System.IMPERIAL) == "1.00 in"


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("12", "The unit is missing. Write a length such as"),
        ("twelve", "Not a length. Write a length such as"),
        ("900 mm", "Outside what is possible. Possible: 0 to 80 mm."),
        ("4 kg", "This is a mass. Write a length such as"),
    ],
)
def test_what_is_wrong_is_said_in_sentences(written: str, says: str) -> None:
    with pytest.raises(AnswerError) as caught:
        words.read_amount(FACTS["damage.gap"], written, CASE)
    assert says in words.fault_text(caught.value)


def test_a_range_is_accepted() -> None:
    assert words.read_amount(FACTS["damage.gap"], "4 to 6 mm", CASE) == Span(4, 6)


@pytest.mark.parametrize("name", ["damage.gap", "damage.length", "skin.thickness"])
@pytest.mark.parametrize("system", list(System))
def test_the_samples_shown_are_themselves_answers(name: str, system: System) -> None:
    fact = FACTS[name]
    one = words.amount_hint(fact, system).removeprefix("for example ")
    both = words.unit_hint(fact, system).split("Not exact? Write ")[1].rstrip(".")
    for text in (one, both):
        span = words.read_amount(fact, text, CASE)
        assert fact.low <= span.low <= span.high <= fact.high
    assert not words.read_amount(fact, both, CASE).exact


def test_loads_and_sources_in_words() -> None:
    assert words.load_text(load("peak", 0.35), System.METRIC) == "0.35 N/mm"
    assert words.load_text(load("peak", 0.35), System.IMPERIAL) == "2 lbf/in"
    source = Source("practice", "Workshop practice", "common_practice")
    assert words.source_text(source) == "Source: Workshop practice (common practice, no source)"
    assert words.range_text(Range(1, 2, 3), "length", "mm", System.METRIC) == "2 (1 to 3) mm"


def test_how_settled_and_how_it_breaks() -> None:
    started = Case("HB-1", facts={"part.kind": ("armrest",), "damage.kind": ("seam_open",)})
    advice = small_advise(started, SmallPack())
    said = "None is promised to hold before these are cleared: airbag in this section."
    assert advice.open_hazards and words.settled_line(advice) == said
    cleared = replace(advice, gates=())
    assert words.settled_line(cleared) == "Best so far: in 93 of 100 simulated cases."
    glue = advice.methods[0]
    assert words.breaks_by(glue) == "Skin shrank > Pull all the time > Glue line creeps"
    assert words.settled_line(small_advise(CASE, SmallPack())) == "No plan yet."
