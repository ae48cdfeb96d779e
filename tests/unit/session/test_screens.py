"""The order of the screens."""

from __future__ import annotations

from advisor.facts.case import Case
from advisor.session.screens import (
    EARLIER_REPAIRS,
    JOB_SHEET,
    METHOD_PAGE,
    QUESTION_LIST,
    RECORD_PAGE,
    Tab,
    answered,
    done_in,
    entries,
    first_of,
    matters,
    next_open,
    settled_text,
)
from tests.unit.session.small_pack import SmallPack, small_advise

PACK = SmallPack()
EMPTY = Case("HB-1")
STARTED = EMPTY.with_fact("part.kind", ("armrest",)).with_fact("damage.kind", ("seam_open",))
CLEARED = STARTED.with_fact("hazard.airbag", False)


def test_stages_follow_each_other_and_end_with_the_record() -> None:
    order = entries(PACK, EMPTY)
    tabs = [entry.tab for entry in order]
    assert tabs == sorted(tabs, key=list(Tab).index)
    assert order[-1].key == RECORD_PAGE
    keys = [entry.key for entry in order]
    assert keys.index("job.words") < keys.index(METHOD_PAGE) < keys.index(JOB_SHEET)


def test_a_gate_question_always_belongs_to_the_hazards() -> None:
    found = [e.tab for e in entries(PACK, EMPTY) if e.fact is not None and e.fact.gate]
    assert found == [Tab.HAZARDS]


def test_a_question_that_does_not_apply_is_not_shown() -> None:
    bare = EMPTY.with_fact("skin.material", ("none",))
    assert "skin.thickness" in [e.key for e in entries(PACK, EMPTY)]
    assert "skin.thickness" not in [e.key for e in entries(PACK, bare)]


def test_a_stage_opens_at_its_first_open_question() -> None:
    order = entries(PACK, STARTED)
    assert first_of(order, Tab.DETAILS, STARTED, ()) == "skin.material"
    everything = {entry.key for entry in order}
    assert first_of(order, Tab.DETAILS, STARTED, everything) == QUESTION_LIST
    assert first_of(order, Tab.PART, STARTED, {"skin.material"}) == "part.kind"
    assert first_of(order, Tab.VERDICT, STARTED, ()) == METHOD_PAGE


def test_counting_answers_of_a_stage() -> None:
    assert done_in(entries(PACK, STARTED), Tab.DAMAGE, STARTED) == (1, 1)


def test_nothing_tried_counts_as_an_answer() -> None:
    entry = next(e for e in entries(PACK, EMPTY) if e.key == EARLIER_REPAIRS)
    assert not answered(entry, EMPTY)
    assert answered(entry, Case("HB-1", earlier_repairs=()))


def test_an_open_gate_comes_before_every_other_question() -> None:
    advice = small_advise(STARTED, PACK)
    assert matters(advice)[0].fact == "hazard.airbag"
    assert next_open(advice) == "hazard.airbag"
    assert settled_text(advice) == "A hazard question is open. It comes before any plan."


def test_settled_is_said_in_so_many_words() -> None:
    done = CLEARED.with_fact("core.state", ("springs_back",))
    advice = small_advise(done, PACK)
    assert next_open(advice) is None
    assert settled_text(advice) == "Decided: no further question is worth asking."


def test_a_referred_case_asks_nothing_more() -> None:
    stopped = STARTED.with_fact("hazard.airbag", True)
    advice = small_advise(stopped, PACK)
    assert matters(advice) == ()
    assert settled_text(advice) == "Referred: a hazard decides, not the loads."
