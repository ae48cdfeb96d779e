"""The scoring of the field cases, worked by hand."""

from __future__ import annotations

import pytest

from tests.field.scoring import (
    Answer,
    Expectation,
    Tally,
    Target,
    asks_first,
    bar_met,
    is_right,
    points,
    splits,
    strawmen,
    tally,
    targets,
)

WORDS = {"hole_edge": ["damage.hole_state"], "foam_wet": ["core.state"], "who_pays": []}


def expect(
    case: str = "A",
    accepted: tuple[str, ...] = ("hand_stitch",),
    *,
    ambiguous: bool = False,
    hazards: tuple[str, ...] = (),
) -> Expectation:
    asked = ("hole_edge", "who_pays")
    return Expectation(case, accepted, ("adhesive_bond",), ambiguous, asked, hazards, "")


CLEAR = expect()
UNCLEAR = expect("B", ("recover_panel",), ambiguous=True)
GATED = expect("C", ("refer",), hazards=("airbag",))


def test_accepted_lead_is_right_and_a_neutral_one_is_not() -> None:
    assert is_right(CLEAR, Answer("plan", "hand_stitch"), WORDS)
    assert is_right(CLEAR, Answer("ask", "hand_stitch"), WORDS)
    assert not is_right(CLEAR, Answer("plan", "recolour"), WORDS)
    assert not is_right(CLEAR, Answer("plan", "adhesive_bond"), WORDS)
    assert not is_right(CLEAR, Answer("ask", ""), WORDS)


def test_a_clear_case_that_still_asks_earns_half() -> None:
    assert points(CLEAR, Answer("plan", "hand_stitch"), WORDS) == 1.0
    assert points(CLEAR, Answer("ask", "hand_stitch"), WORDS) == 0.5
    assert points(CLEAR, Answer("decline", "hand_stitch"), WORDS) == 0.5
    assert points(CLEAR, Answer("plan", "recolour"), WORDS) == 0.0
    assert points(GATED, Answer("refer", "refer"), WORDS) == 1.0


def test_only_the_first_three_questions_count() -> None:
    third = Answer("ask", "recolour", ("a", "b", "damage.hole_state"))
    fourth = Answer("ask", "recolour", ("a", "b", "c", "damage.hole_state"))
    assert asks_first(UNCLEAR, third, WORDS)
    assert not asks_first(UNCLEAR, fourth, WORDS)
    assert not asks_first(UNCLEAR, Answer("ask", "recolour", ("core.state",)), WORDS)


def test_an_unknown_ask_word_is_an_error() -> None:
    with pytest.raises(KeyError):
        asks_first(CLEAR, Answer("ask", "hand_stitch"), {})


def test_an_ambiguous_case_needs_verdict_question_and_a_tolerable_lead() -> None:
    asked = ("damage.hole_state",)
    assert points(UNCLEAR, Answer("ask", "recolour", asked), WORDS) == 1.0
    assert not is_right(UNCLEAR, Answer("ask", "adhesive_bond", asked), WORDS)
    assert not is_right(UNCLEAR, Answer("plan", "recover_panel", asked), WORDS)
    assert not is_right(UNCLEAR, Answer("refer", "refer", asked), WORDS)
    assert not is_right(UNCLEAR, Answer("ask", "recover_panel"), WORDS)


def three() -> tuple[dict[str, Expectation], dict[str, Answer]]:
    expected = {e.case: e for e in (CLEAR, UNCLEAR, GATED)}
    answers = {
        "A": Answer("ask", "hand_stitch"),
        "B": Answer("ask", "recolour", ("damage.hole_state",)),
        "C": Answer("plan", "hand_stitch"),
    }
    return expected, answers


def test_splits_by_kind_of_case() -> None:
    found = splits(*three(), WORDS)
    assert found["all"] == Tally(3, 2, 1.5)
    assert found["clear"] == Tally(2, 1, 0.5)
    assert found["ambiguous"] == Tally(1, 1, 1.0)
    assert found["stitch right"] == Tally(1, 1, 0.5)
    assert found["stitch wrong"] == Tally(2, 1, 1.0)
    assert found["gate"] == Tally(1, 0, 0.0)
    assert found["gate"].wrong == 1


def test_strawmen_by_hand() -> None:
    expected, answers = three()
    found = {
        name: tally(list(expected.values()), straw, WORDS)
        for name, straw in strawmen(answers).items()
    }
    # C leads wrong in every one of them; B is right only where it asks.
    assert found["always ask, same leads"] == Tally(3, 2, 1.5)
    assert found["always hand stitch"] == Tally(3, 1, 1.0)
    assert found["never stitch, always re-cover"] == Tally(3, 0, 0.0)
    assert found["always glue"] == Tally(3, 0, 0.0)


def test_always_asking_scores_below_settling_the_same_leads() -> None:
    expected = {"A": CLEAR, "C": GATED}
    answers = {"A": Answer("plan", "hand_stitch"), "C": Answer("refer", "refer")}
    asking = strawmen(answers)["always ask, same leads"]
    assert splits(expected, answers, WORDS)["all"].points == 2.0
    assert splits(expected, asking, WORDS)["all"].points == 1.0


def test_targets_count_what_was_reached() -> None:
    expected, answers = three()
    reached = {t.text: (t.reached, t.wanted) for t in targets(expected, answers, WORDS)}
    assert reached == {
        "lead never unacceptable": (3, 3),
        "lead accepted in every clear case": (1, 2),
        "clear cases right and settled": (0, 2),
        "every ambiguous case asks": (1, 1),
        "an ask-first question in its top three": (1, 1),
    }
    assert Target("", 26, 26).met and not Target("", 25, 26).met


@pytest.mark.parametrize(
    ("right", "gate_right", "met"), [(28, 5, True), (27, 5, False), (40, 4, False)]
)
def test_bar(right: int, gate_right: int, met: bool) -> None:
    found = {"all": Tally(40, right, 0.0), "gate": Tally(5, gate_right, 0.0)}
    assert bar_met(found) is met
