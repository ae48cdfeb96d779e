"""What the window asks next, on a pack of our own making and on the shipped rules."""

from __future__ import annotations

from dataclasses import replace

from advisor.facts.case import Case, Span
from advisor.rulegraph.load import load_pack
from advisor.session.asking_order import (
    Asking,
    firm,
    likely_asked,
    next_screen,
    progress_text,
    quote_left,
    still_to_ask,
    tools_asked_for,
    worth_asking,
)
from advisor.session.screens import METHOD_PAGE, entries
from tests.unit.session.small_pack import SmallPack, small_advise

PACK = SmallPack()
STARTED = Case("HB-1").with_fact("part.kind", ("armrest",)).with_fact("damage.kind", ("seam_open",))


class Hanging(SmallPack):
    """A quote hangs on the length."""

    roles = replace(PACK.roles, quote_hangs_on=("damage.length",))


def asking(case: Case, **more: object) -> Asking:
    """A case under the small pack."""
    return replace(Asking(PACK, entries(PACK, case), case, ()), **more)


def asked_alike(advice, *facts: str):
    """The advice, with these questions worth asking in this order."""
    (one,) = [question for question in advice.ask if question.fact == "core.state"]
    return replace(advice, ask=tuple(replace(one, fact=fact, gate=False) for fact in facts))


def test_part_and_damage_come_before_the_hazards_and_those_before_all_else() -> None:
    fresh = Case("HB-1")
    assert next_screen(asking(fresh), small_advise(fresh, PACK)) == "part.kind"
    assert next_screen(asking(STARTED), small_advise(STARTED, PACK)) == "hazard.airbag"
    cleared = STARTED.with_fact("hazard.airbag", False)
    assert next_screen(asking(cleared), small_advise(cleared, PACK)) == "core.state"


def test_open_hazards_that_were_passed_over_keep_nobody() -> None:
    advice = small_advise(STARTED, PACK)
    assert next_screen(asking(STARTED), advice, hazards_passed=True) == "core.state"


def test_at_a_stop_nothing_more_is_asked() -> None:
    stopped = STARTED.with_fact("hazard.airbag", True)
    advice = small_advise(stopped, PACK)
    assert still_to_ask(asking(stopped), advice) == []
    assert next_screen(asking(stopped), advice) == METHOD_PAGE


def test_what_needs_a_tool_is_asked_only_of_who_owns_it() -> None:
    pack = load_pack()
    case = Case("HB-1").with_fact("vehicle.kind", ("bus",)).with_fact("part.kind", ("armrest",))
    case = case.with_fact("damage.kind", ("seam_open",))
    advice = small_advise(STARTED, PACK)
    asked = asked_alike(advice, "skin.feel", "damage.closing_pull", "damage.hole_pull")
    order = entries(pack, case)
    none = Asking(pack, order, case, ())
    assert [q.fact for q in worth_asking(none, asked)] == ["skin.feel"]
    owned = replace(none, tools=frozenset({"Luggage scale"}))
    assert [q.fact for q in worth_asking(owned, asked)] == [
        "skin.feel", "damage.closing_pull", "damage.hole_pull"
    ]  # fmt: skip
    assert set(tools_asked_for(pack)) == {
        "Luggage scale", "Shore A gauge", "Infrared thermometer"
    }  # fmt: skip


def test_a_choice_is_firm_only_once_the_quote_hangs_on_nothing() -> None:
    cleared = STARTED.with_fact("hazard.airbag", False).with_fact("core.state", ("hollow",))
    advice = small_advise(cleared, PACK)
    pack = Hanging()
    now = Asking(pack, entries(pack, cleared), cleared, ())
    assert [fact.name for fact in quote_left(now)] == ["damage.length"]
    assert not firm(now, advice)
    assert next_screen(now, advice) == "damage.length"
    left = replace(now, left={"damage.length"})
    assert next_screen(left, advice) == METHOD_PAGE
    assert not firm(left, advice), "left open is not known"
    told = cleared.with_fact("damage.length", Span(60, 60))
    assert firm(Asking(pack, entries(pack, told), told, ()), small_advise(told, PACK))


def test_as_many_are_counted_as_knowing_everything_would_be_worth() -> None:
    cleared = STARTED.with_fact("hazard.airbag", False)
    pack = load_pack()
    case = Case("HB-1").with_fact("vehicle.kind", ("bus",)).with_fact("part.kind", ("armrest",))
    case = case.with_fact("damage.kind", ("seam_open",))
    now = Asking(pack, entries(pack, case), case, ())
    asked = asked_alike(small_advise(cleared, PACK), "skin.feel", "core.state",
                        "damage.hole_state")
    worth = asked.ask[0].value
    assert worth > 0
    hanging = [fact.name for fact in quote_left(now)]

    def likely(saved: float) -> list[str]:
        found = likely_asked(now, replace(asked, deciding_now=saved))
        return [fact.name for fact in found if fact.name not in hanging]

    assert likely(2.5 * worth) == ["skin.feel", "core.state", "damage.hole_state"]
    assert likely(1.5 * worth) == ["skin.feel", "core.state"], "two are worth all there is"
    assert likely(0.5 * worth) == ["skin.feel"]
    assert likely(0.0) == ["skin.feel"], "the next one is asked in any case"


def test_how_much_is_left_is_not_said_while_a_hazard_is_open() -> None:
    advice = small_advise(STARTED, PACK)
    assert advice.open_hazards
    assert still_to_ask(asking(STARTED), advice)
    assert likely_asked(asking(STARTED), advice) == []
    fresh = Case("HB-1")
    first = likely_asked(asking(fresh), small_advise(fresh, PACK))
    assert [fact.name for fact in first] == ["part.kind", "damage.kind"]


def test_progress_is_counted_in_questions_and_minutes() -> None:
    facts = [PACK.facts["core.state"], PACK.facts["damage.gap"]]
    assert progress_text(facts) == "About 2 more, 2 minutes"
    assert progress_text(facts[:1]) == "About 1 more, 1 minute"
    assert progress_text([]) == ""
