"""What comes next, sets for a class, the shop's own cases, transfer tests, the trainer's view."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from advisor.facts.case import DAMAGE, Case, EarlierRepair
from advisor.facts.case_file import read_case
from advisor.facts.faults import BadInput
from advisor.paths import demo_folder
from advisor.practice.answers import Help
from advisor.practice.case_sets import CaseSet, read_set, set_text, write_set
from advisor.practice.cases import CaseSource, PracticeCase
from advisor.practice.generating.generate import HELD_OUT, generate
from advisor.practice.held_out import is_for_tests, may_come_up
from advisor.practice.learners import Learner
from advisor.practice.next_case import Task, case_for, next_task, teaching_order
from advisor.practice.shop import shop_cases, without_customer
from advisor.practice.topics import REFER
from advisor.practice.trainer import class_report, learner_report, report_json
from advisor.practice.transfer import TEST_CASES, changes, due_test, results, transfer_cases
from advisor.rulegraph.model.pack import RulePack
from tests.unit.practice.rounds import START, kept

LATER = START + timedelta(days=400)


@pytest.fixture(scope="module")
def cases(pack: RulePack) -> tuple[PracticeCase, ...]:
    return generate(pack, 2, 21, topic="seams").cases


def test_a_set_reads_back_as_it_was_written(
    pack: RulePack, cases: tuple[PracticeCase, ...], tmp_path: Path
) -> None:
    path = tmp_path / "set.yaml"
    write_set(path, CaseSet("Tuesday group", cases, 21), pack)
    again = read_set(path, pack)
    assert again.name == "Tuesday group" and again.seed == 21 and not again.set_aside
    for one, other in zip(cases, again.cases, strict=True):
        assert other.hidden.facts == one.hidden.facts and other.hidden.name == one.hidden.name
        assert (other.right, other.shown, other.twin and other.twin.value) == (
            one.right, one.shown, one.twin and one.twin.value,
        )  # fmt: skip
        assert other.topics == one.topics


def test_a_case_on_which_the_rules_have_changed_is_set_aside(
    pack: RulePack, cases: tuple[PracticeCase, ...], tmp_path: Path
) -> None:
    path = tmp_path / "set.yaml"
    wrong = replace(cases[0], right="adhesive_bond")
    write_set(path, CaseSet("", (wrong, cases[1])), pack)
    again = read_set(path, pack)
    assert [case.name for case in again.cases] == [cases[1].name]
    (name, why), = again.set_aside
    assert name == cases[0].name and why.startswith("Glue was right; the rules now say: ")


def test_faults_of_a_set_have_their_lines(
    pack: RulePack, cases: tuple[PracticeCase, ...], tmp_path: Path
) -> None:
    path = tmp_path / "set.yaml"
    text = set_text(CaseSet("", cases), pack)
    spoiled = text.replace(f"right: {cases[0].right}", "right: glue", 1)
    spoiled = spoiled.replace("part.kind: ", "part.kind: x", 1)
    path.write_text(spoiled)
    with pytest.raises(BadInput) as bad:
        read_set(path, pack)
    texts = "\n".join(fault.text for fault in bad.value.faults)
    line = spoiled.splitlines().index("  - right: glue") + 1
    assert f"{path}:{line}:" in texts and 'no choice; found "glue"' in texts
    assert "part.kind" in texts and "did you mean" in texts


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("format: 1\ncases: []\n", "1 to 500 cases"),
        ("format: 2\ncases: []\n", "format"),
        ("format: 1\ncases:\n  - nonsense\n", r":3:"),
        ("format: 1\n", "cases"),
    ],
)
def test_what_is_no_set_is_refused(
    pack: RulePack, tmp_path: Path, text: str, told: str
) -> None:
    path = tmp_path / "set.yaml"
    path.write_text(text)
    with pytest.raises(BadInput, match=told):
        read_set(path, pack)


def test_two_cases_of_one_name_are_refused(
    pack: RulePack, cases: tuple[PracticeCase, ...], tmp_path: Path
) -> None:
    path = tmp_path / "set.yaml"
    write_set(path, CaseSet("", (cases[0], cases[0])), pack)
    with pytest.raises(BadInput, match="two cases have the same name"):
        read_set(path, pack, check=False)


def test_the_shops_cases_lose_whose_they_were(pack: RulePack) -> None:
    case = read_case(demo_folder() / "split_armrest.yaml", pack.facts)
    named = replace(
        case, name="AB 123 for Miller", title="Miller's bus AB 123", note="Miller, 0123 456",
        photos=("miller.jpg",), earlier_repairs=(EarlierRepair("adhesive_bond", "by Miller"),),
        facts={**case.facts, "damage.tried": "Miller glued it"},
    )  # fmt: skip
    (found,) = shop_cases([named], pack)
    assert found.source is CaseSource.CASEBOOK and found.right == "hand_stitch"
    assert "Miller" not in repr(found) and "AB 123" not in repr(found)
    assert found.title.startswith("Armrest; bus")
    assert without_customer(named, pack).name == found.name, "the same case, the same name"


def test_what_cannot_be_practised_is_left_out(pack: RulePack) -> None:
    odd = Case("x", facts={"part.kind": ("none_of_these",), "damage.kind": ("tear",)})
    open_hazards = read_case(demo_folder() / "unknown_split.yaml", pack.facts)
    assert shop_cases([odd, open_hazards, Case("empty")], pack) == ()


def test_a_beginner_begins_with_one_topic_worked_out() -> None:
    first = next_task([], START)
    assert first.topic == teaching_order()[0] and first.help is Help.WORKED
    block = [kept(0, at=START + timedelta(minutes=10 * i), topics=(first.topic,),
                  item=f"{first.topic}/{i}") for i in range(4)]  # fmt: skip
    assert next_task(block[:3], START + timedelta(hours=1)).topic == first.topic
    after = next_task(block, START + timedelta(hours=1))
    assert after.topic == teaching_order()[1] and after.help is Help.WORKED


def test_a_miss_comes_back_varied_and_not_at_once() -> None:
    times = [START + timedelta(minutes=10 * i) for i in range(9)]
    rounds = [kept(0, at=at, item=f"seams/{i}") for i, at in enumerate(times)]
    rounds[5] = kept(0, at=times[5], item="seams/damage.failed", good=False)
    task = next_task(rounds[:6], times[6])
    assert task.fact != "damage.failed", "the miss was the last round"
    rounds = [*rounds[:7], kept(0, at=times[7], item="seams/7"), rounds[8]][:8]
    task = next_task(rounds, times[8])
    assert (task.topic, task.fact) == ("seams", "damage.failed")
    assert "varied" in task.reason


def test_one_in_eight_is_about_a_hazard_and_a_missed_one_comes_first() -> None:
    rounds = [kept(i, item=f"seams/{i}") for i in range(7)]
    assert next_task(rounds, LATER).topic == "hazards"
    late = kept(7, topics=("hazards",), item="hazards/gate.belt", hazards_missed=("belt",))
    soon = late.at + timedelta(minutes=1)
    task = next_task([*rounds, late], soon)
    assert task.topic == "hazards" and task.reason == "a hazard was missed"


def test_due_topics_come_before_new_ones() -> None:
    rounds = [kept(i, item="seams/damage.failed") for i in range(5)]
    assert next_task(rounds[:4], rounds[3].at).topic != "seams"
    task = next_task([*rounds, kept(5, item="seams/x")], LATER)
    assert (task.topic, task.reason) == ("seams", "due again")


def test_a_strong_learner_gets_hard_cases_and_a_weak_one_easy_ones() -> None:
    order = teaching_order()
    just_now = LATER - timedelta(hours=1)
    others = [kept(at=just_now, topics=(key,), item=f"{key}/x") for key in order * 4]

    def level(good: bool) -> tuple[float, float]:
        rounds = [kept(i, good=good, item="seams/z", difficulty=0.5) for i in range(30)]
        task = next_task([*rounds, *others], LATER)
        assert (task.topic, task.reason) == ("seams", "due again")
        return task.difficulty

    assert level(True)[0] > level(False)[0]
    assert all(0.0 <= low < high <= 1.0 for low, high in (level(True), level(False)))


def test_a_case_is_taken_from_the_stock_where_one_fits(
    pack: RulePack, cases: tuple[PracticeCase, ...]
) -> None:
    topic = cases[0].topic
    found = case_for(Task(topic), pack, 1, cases)
    assert found in cases
    with pytest.raises(ValueError, match="the rest is for tests"):
        case_for(Task(topic), pack, HELD_OUT)


def test_a_drawn_case_is_about_what_was_missed(pack: RulePack) -> None:
    found = case_for(Task("seams", "damage.hole_state"), pack, 3)
    assert found is not None and "seams" in found.topics
    assert found.twin is not None and found.twin.fact == "damage.hole_state"


def test_tests_are_due_before_after_40_and_after_80() -> None:
    before = [kept(0, test="before")] * 12
    assert due_test([]) == "before"
    assert due_test([kept(0, test="before")] * 11) == "before"
    assert due_test(before) == ""
    assert due_test([kept()]) == "", "too late for the first one"
    assert due_test([*before, *[kept()] * 40]) == "after_40"
    assert due_test([*before, *[kept()] * 80, *[kept(test="after_40")] * 12]) == "after_80"


def test_before_and_after_with_their_interval() -> None:
    """Newcombe 1998 (Statistics in Medicine 17, 873), method 10, from memory: 56/70 - 48/80.

    The paper gives 0.0524 to 0.3339 at 95 %; the arithmetic here is the same at 90 %.
    """
    rounds = [kept(test="before", good=i < 3) for i in range(12)]
    rounds += [kept(test="after_40", good=i < 10) for i in range(12)]
    found = results(rounds)
    assert [(one.test, one.good, one.answers) for one in found] == [
        ("before", 3, 12), ("after_40", 10, 12),
    ]  # fmt: skip
    (change,) = changes(found)
    assert change.difference == pytest.approx(7 / 12)
    assert 0.0 < change.interval[0] < change.difference < change.interval[1] < 1.0
    assert "do not tell" not in change.words
    same = [kept(test=name, good=i < 6) for name in ("before", "after_40") for i in range(12)]
    assert "do not tell" in changes(results(same))[0].words
    assert not changes(results([kept(test="after_40")]))


def test_the_trainer_sees_what_goes_wrong_and_what_was_overlooked() -> None:
    rounds = [kept(i, good=i % 3 == 0, governing="load.push_off",
                   governing_named="load.cold" if i % 3 else "load.push_off")
              for i in range(12)]  # fmt: skip
    rounds.append(kept(12, topics=("hazards", "seams"), item="hazards/gate.airbag", right="refer",
                       choice="hand_stitch", good=False, regret=None, loss=None, best_cost=None,
                       hazards_closed=1, hazards_missed=("airbag",)))  # fmt: skip
    rounds.append(kept(13, help=Help.WORKED, good=False))
    rounds.append(kept(14, disagrees="glue of ours holds"))
    gull = Learner("Gull", START, tuple(rounds))
    told = learner_report(gull, LATER)
    assert told.rounds == 14, "what was worked out for the learner does not count"
    assert [(m.hazard, m.alias) for m in told.missed] == [("airbag", "Gull")]
    (mistake,) = told.mistakes
    assert (mistake.damage, mistake.method, mistake.times) == ("seam_open", "adhesive_bond", 8)
    assert (mistake.overlooked, mistake.right_mostly) == ("load.push_off", "hand_stitch")
    assert told.disagreements == (("P-1-14", "glue of ours holds"),)
    assert {row.topic for row in told.topics} == {"seams", "hazards"}
    assert told.topics[-1].topic == "hazards" and not told.topics[-1].mastery.enough
    assert told.loss == pytest.approx((5 * 4.0 + 8 * 94.0) / 13)


def test_a_transfer_test_is_of_kinds_that_practice_never_brings_up(pack: RulePack) -> None:
    """No damage on its part that practice draws or the first look of a task could take."""
    cases = transfer_cases(pack, "before")
    assert len(cases) == TEST_CASES and len({case.name for case in cases}) == TEST_CASES
    assert not any(may_come_up(case.hidden) for case in cases)
    assert len({case.topic for case in cases}) >= 8, "mixed, not one topic"
    assert REFER in {case.right for case in cases}, "a hazard to be found"
    practised = case_for(Task("seams"), pack, 3)
    assert practised is not None and may_come_up(practised.hidden)
    kinds = [(part, damage) for part in pack.parts for damage in pack.facts[DAMAGE].keys]
    assert 0.15 < sum(is_for_tests(*kind) for kind in kinds) / len(kinds) < 0.25


def test_what_was_practised_before_is_not_called_unseen() -> None:
    rounds = [kept(0, damage="tear"), kept(1, test="before", damage="tear"),
              kept(2, test="before", damage="hole")]  # fmt: skip
    (told,) = results(rounds)
    assert (told.answers, told.unseen) == (2, 1)


def test_both_twins_good_is_counted_by_pairs() -> None:
    rounds = [
        kept(0, case="P-1-1"), kept(1, case="P-1-1-b"), kept(2, case="P-1-2"),
        kept(3, case="P-1-2-b", good=False), kept(4, case="P-1-3"),
    ]  # fmt: skip
    told = learner_report(Learner("Gull", START, tuple(rounds)), LATER)
    assert (told.twins.pairs, told.twins.both_good) == (2, 1)


def test_a_class_is_reported_without_ranking_anybody() -> None:
    gull = Learner("Gull", START, tuple(kept(i) for i in range(12)))
    tern = Learner("Tern", START, tuple(kept(i, good=False) for i in range(12)))
    told = class_report([gull, tern], LATER)
    assert told.alias == "" and told.rounds == 24 and told.good == 12
    form = report_json([told])
    text = repr(form)
    assert form["format"] == 1 and "Gull" not in text and "Tern" not in text
    assert class_report([], LATER).rounds == 0
