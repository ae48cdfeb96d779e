"""A hold figure says what it is made of: forces, experience of the trade, or both."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.advice.advise import advise
from advisor.advice.choosing.working import work_out
from advisor.advice.result import Advice, Status
from advisor.facts.case import Case
from advisor.job.sheet import job_sheet, together
from advisor.report.content.terminal_page import brief_text
from advisor.report.json_forms.advice import advice_json
from advisor.report.json_forms.job import job_json
from advisor.report.quote import job_text
from advisor.report.rationale import build_rationale, rationale_text
from advisor.rulegraph.model.pack import RulePack
from advisor.session.answer_text import hold_line
from advisor.wording.counts import HoldBasis, hold_count, hold_words, holds_in
from tests.unit.advice.given_cases import demo, demos, split_seam


def worn(pack: RulePack) -> Case:
    """Colour gone from a bolster: no force reaches a coat of colour."""
    return demo("worn_bolster", pack)


def lead(advice: Advice) -> HoldBasis | None:
    assert advice.plan is not None
    return next(m.hold_basis for m in advice.methods if m.method == advice.plan.lead)


def test_a_seam_is_calculated_and_workmanship_is_in_the_count(pack: RulePack) -> None:
    advice = advise(split_seam(), pack, 512, flips=False)
    assert advice.plan is not None and advice.plan.hold_basis is HoldBasis.BOTH
    assert lead(advice) is HoldBasis.BOTH
    assert hold_line(advice.plan).endswith("simulated cases")
    assert any("experience of the trade, and is in the count" in note for note in advice.notes)


def test_a_recolour_is_experience_and_says_so_everywhere(pack: RulePack) -> None:
    told = worn(pack)
    advice = advise(told, pack, 512, flips=False)
    plan = advice.plan
    assert plan is not None and plan.lead == "recolour"
    assert plan.hold_basis is HoldBasis.EXPERIENCE and lead(advice) is HoldBasis.EXPERIENCE
    said = "by experience of the trade about 86 of 100 such repairs hold"
    assert said in advice.headline and hold_line(plan) == said
    texts = [
        brief_text(advice),
        rationale_text(build_rationale(advice, told)),
        job_text(together([job_sheet(told, pack, advice)], pack)),
    ]
    for text in texts:
        flat = " ".join(text.split())
        assert said in flat.replace("By experience", "by experience")
        assert "86 of 100 simulated cases" not in flat
    form = advice_json(advice)
    assert form["plan"]["hold_basis"] == "experience"
    sheet = job_json(together([job_sheet(told, pack, advice)], pack))
    assert '"hold_basis": "experience"' in str(sheet).replace("'", '"')


def test_what_rests_on_experience_alone_is_the_same_in_every_world(pack: RulePack) -> None:
    """And what is called calculated has a joint that a force reaches. Over all demo cases."""
    seen = set()
    for told in demos(pack).values():
        advice = advise(told, pack, 256, flips=False)
        if advice.plan is None:
            continue
        working = work_out(advice_case(told, pack), pack, 256)
        seen.add(advice.plan.hold_basis)
        outcomes = working.situation.outcomes
        loaded = any(
            joint.usage.any() for key in working.plans[0].chosen for joint in outcomes[key].joints
        )
        if advice.plan.hold_basis is HoldBasis.EXPERIENCE:
            chances = working.plans[0].holds[working.plans[0].possible]
            assert np.mean(np.abs(chances - np.median(chances)) > 1e-6) < 0.1
        elif not loaded:
            assert np.ptp(working.plans[0].holds) > 0.0
        for method in advice.methods:
            nothing = method.status in (Status.NOT_POSSIBLE, Status.BLOCKED)
            assert (method.hold_basis is None) == nothing
    assert seen == {HoldBasis.EXPERIENCE, HoldBasis.BOTH}


def advice_case(told: Case, pack: RulePack) -> Case:
    return pack.as_read(told)


def test_work_that_never_goes_wrong_is_calculated_alone(pack: RulePack) -> None:
    sure = {}
    for key, method in pack.methods.items():
        always = replace(method.reliability, low=1.0, typical=1.0, high=1.0)
        sure[key] = replace(method, reliability=always)
    advice = advise(split_seam(), replace(pack, methods=sure), 256, flips=False)
    assert advice.plan is not None and advice.plan.hold_basis is HoldBasis.CALCULATED


@pytest.mark.parametrize("basis", [HoldBasis.CALCULATED, HoldBasis.BOTH, None])
def test_words_of_what_was_simulated(basis: HoldBasis | None) -> None:
    assert hold_words(0.93, basis) == "holds in 93 of 100 simulated cases"
    assert hold_count(0.93, basis) == "93 of 100"


def test_words_of_experience() -> None:
    basis = HoldBasis.EXPERIENCE
    assert hold_words(0.86, basis) == "by experience of the trade about 86 of 100 such repairs hold"
    assert hold_words(0.999, basis).endswith("trade more than 99 of 100 such repairs hold")
    assert hold_count(0.86, basis) == "86 of 100 by experience"
    assert "between" not in holds_in(0.5, 50.0, basis)
