"""Formulas of practice against published values, other libraries and what can be shown.

Values "by scikit-learn" were worked out once with that library from the same input, and stand
here; SciPy is asked each time.
"""

from __future__ import annotations

import math
import random
from datetime import UTC, datetime, timedelta

import pytest
from scipy import optimize, special

from advisor.practice.answers import Help
from advisor.practice.calibration import (
    brier,
    calibration,
    murphy,
    over_time,
    wilson,
)
from advisor.practice.fading import help_for
from advisor.practice.mastery import Mastery, by_topic, mastery, rasch_chance, trend
from advisor.practice.memory import cards, due, grade, scheduler
from advisor.practice.scoring import quadratic_score
from tests.unit.practice.rounds import START, kept

STATED = [.5, .6, .6, .7, .7, .7, .8, .8, .8, .8, .9, .9, .9, .9, .9, 1, 1, 1, 1, 1]  # fmt: skip
RIGHT = [0, 1, 0, 1, 1, 0, 1, 1, 0, 1, 1, 1, 1, 0, 1, 1, 1, 1, 0, 1]
TWENTY = list(zip(STATED, map(bool, RIGHT), strict=True))


def test_brier_score_as_scikit_learn_has_it() -> None:
    """By scikit-learn ``brier_score_loss``: 0.2025."""
    assert brier(TWENTY) == pytest.approx(0.2025, abs=1e-9)


def test_murphys_terms_add_up_to_it() -> None:
    """Murphy 1973: Brier is reliability - resolution + uncertainty, exactly, by groups."""
    reliability, resolution, uncertainty = murphy(TWENTY)
    assert (reliability, resolution, uncertainty) == pytest.approx(
        (0.026667, 0.034167, 0.21), abs=1e-6
    )
    assert reliability - resolution + uncertainty == pytest.approx(brier(TWENTY), abs=1e-12)


def test_quadratic_score_of_three_classes_as_scikit_learn_has_it() -> None:
    """By scikit-learn ``brier_score_loss(..., scale_by_half=False)``: 0.326667."""
    stated = [(.7, .2, .1), (.2, .5, .3), (.1, .1, .8)]
    scores = [
        quadratic_score(dict(zip("abc", row, strict=True)), "abc"[truth])
        for row, truth in zip(stated, (0, 2, 2), strict=True)
    ]
    assert sum(scores) / 3 == pytest.approx(0.98 / 3, abs=1e-9)


def test_wilsons_interval_as_it_is_printed() -> None:
    """Newcombe 1998 (Statistics in Medicine 17), table I, 95 %: 81/263 and 15/148, 1/29.

    From memory, so checked with SciPy as well.
    """
    from scipy.stats import binomtest

    for right, n in ((81, 263), (15, 148), (1, 29), (0, 20)):
        found = wilson(right, n, 1.959964)
        by_scipy = binomtest(right, n).proportion_ci(0.95, "wilson")
        assert found == pytest.approx((by_scipy.low, by_scipy.high), abs=1e-6)
    assert wilson(81, 263, 1.959964) == pytest.approx((0.2553, 0.3662), abs=1e-4)


def test_who_knows_how_sure_to_be_is_mostly_said_to_fit() -> None:
    """By construction: 95 % of calibrated learners lie within the margin told, others do not."""
    draw = random.Random(7)

    def learner(over: float) -> bool:
        stated = [draw.choice((.55, .65, .75, .85, .95)) for _ in range(60)]
        found = calibration([(p, draw.random() < p - over) for p in stated])
        return abs(found.overconfidence) <= found.margin

    assert sum(learner(0.0) for _ in range(400)) / 400 == pytest.approx(0.95, abs=0.03)
    assert sum(learner(0.2) for _ in range(200)) / 200 < 0.1


def test_calibration_says_how_few_answers_there_are() -> None:
    few = calibration(TWENTY[:10])
    assert "Too few" in few.words and few.reliability is None
    many = calibration(TWENTY * 8)
    assert many.reliability == pytest.approx(0.026667, abs=1e-6)
    assert [g.answers for g in calibration(TWENTY).groups] == [1, 9, 10]
    assert len(calibration(TWENTY * 5).groups) == 4, "five, and nobody stated less than 50 %"
    assert calibration(TWENTY).groups[-1].words.startswith("When you say 95 %, you are right 8")
    assert len(over_time(TWENTY * 3)) == 3
    assert calibration([]).answers == 0


def test_rasch_chances_as_printed() -> None:
    """1 / (1 + exp(-x)) at 0, 1, 2 (Rasch 1960); with a guess of 1/4 above it."""
    assert [round(rasch_chance(x, 0.0), 4) for x in (0, 1, 2)] == [0.5, 0.7311, 0.8808]
    assert [round(rasch_chance(x, 0.0, 0.25), 4) for x in (0, 1, 2)] == [0.625, 0.7983, 0.9106]


@pytest.mark.parametrize(
    ("good", "difficulty", "value"),
    [
        ([1, 1, 0, 1], [0, 0, 0, 0], 0.5052),
        ([1, 1, 1, 1, 0, 0], [-1, -0.5, 0, 0.5, 1, 1.5], 0.5808),
        ([0] * 20, [0.0] * 20, None),
    ],
)
def test_mastery_is_the_mode_that_scipy_finds(
    good: list[int], difficulty: list[float], value: float | None
) -> None:
    """SciPy ``brentq`` on the same condition, and ``minimize_scalar`` on the log posterior."""
    found = mastery(list(zip(map(bool, good), difficulty, strict=True)), stale=1.0)

    def left(x: float) -> float:
        pairs = zip(good, difficulty, strict=True)
        return float(sum(y - special.expit(x - d) for y, d in pairs) - x)

    def minus_log_posterior(x: float) -> float:
        pairs = zip(good, difficulty, strict=True)
        return x * x / 2 - sum(special.log_expit((2 * y - 1) * (x - d)) for y, d in pairs)

    assert found.ability == pytest.approx(optimize.brentq(left, -10, 10), abs=1e-8)
    best = optimize.minimize_scalar(minus_log_posterior, bounds=(-10, 10), method="bounded")
    assert found.ability == pytest.approx(best.x, abs=1e-4)
    if value is not None:
        assert found.ability == pytest.approx(value, abs=1e-4)
    if good == [1, 1, 0, 1]:
        assert found.error == pytest.approx(0.7182, abs=1e-4)


def test_few_answers_are_said_to_be_too_few() -> None:
    rounds = [kept(i) for i in range(9)]
    assert not by_topic(rounds)["seams"].enough
    assert by_topic([*rounds, kept(9)])["seams"].enough
    assert not by_topic([kept(i, help=Help.WORKED) for i in range(20)]), "read, not done"


def test_mastery_covers_the_ability_it_was_drawn_from() -> None:
    """By construction: abilities from the prior lie within 90 % intervals about that often."""
    draw = random.Random(3)
    inside = 0
    for _ in range(400):
        ability = draw.gauss(0.0, 1.0)
        levels = [draw.uniform(-1, 1) for _ in range(20)]
        found = mastery(
            [(draw.random() < rasch_chance(ability, d), d) for d in levels], stale=1.0
        )
        inside += abs(found.ability - ability) <= 1.6449 * found.error
    assert inside / 400 == pytest.approx(0.90, abs=0.04)
    assert Mastery(0.0, 1.0, 0).interval[0] < 0.5 < Mastery(0.0, 1.0, 0).interval[1]


def test_learners_who_improve_are_shown_and_those_who_stay_level_are_not() -> None:
    """200 of each over 40 rounds, the share right from 0.3 to 0.9 or level between them."""
    draw = random.Random(1)

    def shown(shares: list[float]) -> bool:
        levels = [draw.uniform(-0.5, 0.5) for _ in shares]
        return trend(
            [(draw.random() < s, d) for s, d in zip(shares, levels, strict=True)]
        ).improved

    up = sum(shown([0.3 + 0.6 * i / 39 for i in range(40)]) for _ in range(200))
    level = sum(shown([0.3 + 0.6 * k / 199] * 40) for k in range(200))
    assert up / 200 >= 0.80
    assert level / 200 <= 0.10


def test_harder_cases_later_on_do_not_hide_a_trend() -> None:
    draw = random.Random(2)
    shown = 0
    for _ in range(100):
        answers = []
        for i in range(40):
            ability, level = -1.0 + 3.0 * i / 39, -1.0 + 2.0 * i / 39
            answers.append((draw.random() < rasch_chance(ability, level), level))
        shown += trend(answers).improved
    by_share = 0
    for _ in range(100):
        answers = []
        for i in range(40):
            ability, level = -1.0 + 3.0 * i / 39, -1.0 + 2.0 * i / 39
            answers.append((draw.random() < rasch_chance(ability, level), 0.0))
        by_share += trend(answers).improved
    assert shown > by_share


def test_the_schedulers_own_vector_of_days() -> None:
    """fsrs 6.3, tests/test_basic.py ``test_review_card``: days between reviews, fuzz off."""
    from fsrs import Card, Rating, Scheduler

    plain, card = Scheduler(enable_fuzzing=False), Card(card_id=1)
    now, days = datetime(2022, 11, 29, 12, 30, tzinfo=UTC), []
    for rating in (3, 3, 3, 3, 3, 3, 1, 1, 3, 3, 3, 3, 3):
        card, _ = plain.review_card(card, Rating(rating), now)
        assert card.last_review is not None
        days.append((card.due - card.last_review).days)
        now = card.due
    assert days == [0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21]


def test_the_schedulers_own_vector_of_memory() -> None:
    """fsrs 6.3, tests/test_basic.py ``test_memo_state``: stability and difficulty."""
    from fsrs import Card, Rating, Scheduler

    plain, card = Scheduler(enable_fuzzing=False), Card(card_id=1)
    now = datetime(2022, 11, 29, 12, 30, tzinfo=UTC)
    for rating, days in zip((1, 3, 3, 3, 3, 3), (0, 0, 1, 3, 8, 21), strict=True):
        now += timedelta(days=days)
        card, _ = plain.review_card(card, Rating(rating), now)
    assert card.stability == pytest.approx(53.62691, abs=1e-4)
    assert card.difficulty == pytest.approx(6.3574867, abs=1e-4)


def test_topics_come_back_after_days_that_grow_and_a_miss_brings_them_back_soon() -> None:
    """Days worked out with fsrs 6.3.2 and our settings: good x3, then good, good, again, good."""
    from fsrs import Rating

    for ratings, wanted in (((3, 3, 3), [4, 31, 60]), ((3, 3, 1, 3, 3), [4, 31, 4, 14, 44])):
        from fsrs import Card

        card, now, days = Card(card_id=1), START, []
        for rating in ratings:
            card, _ = scheduler().review_card(card, Rating(rating), now)
            days.append((card.due - now).days)
            now = card.due
        assert days == wanted


def test_grades_by_rule() -> None:
    from fsrs import Rating

    assert grade(kept()) is Rating.Good
    assert grade(kept(certainty=0.9)) is Rating.Easy
    assert grade(kept(certainty=0.9, idle_asking=4.0)) is Rating.Good
    assert grade(kept(certainty=0.4)) is Rating.Hard
    assert grade(kept(certainty=0.9, help=Help.WORKED)) is Rating.Hard
    assert grade(kept(asking=30.0, idle_asking=26.0)) is Rating.Hard
    assert grade(kept(good=False)) is Rating.Again
    assert grade(kept(good=False, regret=8.0, loss=12.0)) is Rating.Hard
    assert grade(kept(hazards_missed=("airbag",))) is Rating.Again
    closed = {"right": "refer", "regret": None, "loss": None, "best_cost": None}
    assert grade(kept(choice="hand_stitch", good=False, **closed)) is Rating.Again
    assert grade(kept(certainty=1.0, **closed)) is Rating.Easy


def test_a_missed_hazard_is_due_again_the_same_day() -> None:
    late = kept(0, item="hazards/gate.airbag", certainty=0.9, hazards_missed=("airbag",))
    soon = START + timedelta(minutes=5)
    assert [one.item for one in due([late], soon)] == ["hazards/gate.airbag"]
    mended = kept(0, at=START + timedelta(minutes=2), item="hazards/gate.airbag")
    assert not due([late, mended], soon)
    assert not due([kept()], soon), "what was right is not due at once"
    assert due([kept()], START + timedelta(days=5))


def test_days_come_from_the_rounds_alone() -> None:
    rounds = [kept(i, good=i != 2, item=f"seams/{i % 3}") for i in range(12)]
    assert {k: c.due for k, c in cards(rounds).items()} == {
        k: c.due for k, c in cards(reversed(rounds)).items()
    }


def test_help_fades_with_good_answers_and_comes_back_after_two_misses() -> None:
    """Common practice of worked examples that fade (Atkinson and others 2000, abstract)."""
    rounds = [kept(i) for i in range(6)]
    levels = [help_for("seams", rounds[:n]) for n in range(7)]
    assert levels == [0, 0, 1, 1, 2, 2, 3]
    missed = [*rounds, kept(6, good=False)]
    assert help_for("seams", missed) is Help.ALONE
    assert help_for("seams", [*missed, kept(7, good=False)]) is Help.WORKED
    assert help_for("skins", rounds) is Help.WORKED, "each topic by itself"


def test_a_chance_is_never_out_of_bounds() -> None:
    assert 0.0 < rasch_chance(-30.0, 5.0) < rasch_chance(30.0, -5.0) <= 1.0
    assert math.isfinite(mastery([(True, 0.0)] * 500).ability)
