"""A need of a few per cent of the simulated cases is not told to the customer as needed."""

from __future__ import annotations

from dataclasses import replace

from advisor.advice.advise import advise
from advisor.advice.choosing.working import work_out
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import demos, split_seam


def needed(pack: RulePack, **facts: object) -> list[str]:
    advice = advise(split_seam(**facts), pack, 2048, flips=False)
    texts = [reason.text for reason in advice.reasons]
    return [text for text in texts if text.startswith(("Needed", "Perhaps needed"))]


def test_what_is_seldom_needed_is_not_spoken_of(pack: RulePack) -> None:
    """A cracked shell below a split seam comes in about 3 of 100, nothing else being told."""
    working = work_out(split_seam(), pack, 2048)
    shares = {need: working.situation.worlds.mean(m) for need, m in working.situation.needs.items()}
    least = pack.prices.tells_need_from
    assert 0.01 < shares["carrier"] < least < shares["support"] < 0.5
    assert needed(pack) == [
        "Needed: bring the edges together and hold them.",
        f"Perhaps needed, in {round(100 * shares['support'])} of 100 simulated cases: "
        "give support from below again.",
    ]


def test_what_is_there_is_told_as_needed(pack: RulePack) -> None:
    assert "Needed: give support from below again." in needed(pack, core__state="crumbles")
    assert "Needed: make the hard part whole." in needed(pack, carrier__state="cracked")


def test_the_threshold_is_a_figure_of_the_shop(pack: RulePack) -> None:
    frank = replace(pack, prices=replace(pack.prices, tells_need_from=0.01))
    assert len(needed(frank)) == len(needed(pack)) + 1


def test_no_demo_tells_a_need_that_is_there_in_a_few_per_cent(pack: RulePack) -> None:
    for told in demos(pack).values():
        advice = advise(told, pack, 512, flips=False)
        situation = work_out(told, pack, 512).situation
        for need in advice.needs:
            share = situation.worlds.mean(situation.needs[need])
            assert need == situation.primary or share >= pack.prices.tells_need_from
