"""A shop's own tests on scrap, and what they change in the advice on a case."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.advice.advise import advise
from advisor.advice.result import Advice
from advisor.facts.case import Case
from advisor.rulegraph.model.own_tests import OwnTest, Triple
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.amounts import unit_text
from advisor.wording.counts import hold_words
from advisor.wording.figures import Range, with_range
from advisor.wording.phrases import filled


def tests_text(pack: RulePack) -> Iterator[str]:
    """One line a test, the figure of the program beside it."""
    if not pack.own_tests:
        yield "No tests of your own."
    for test in pack.own_tests:
        samples = "1 sample" if test.samples == 1 else f"{test.samples} samples"
        yield filled(
            "{}: {}; {} (before: {}). {}, {}: {}", test.key, test.title, _range(test.after, test),
            _range(test.before, test), test.date, samples, test.how,
        )  # fmt: skip


def tests_form(pack: RulePack) -> list[dict[str, Any]]:
    """The tests as JSON."""
    return [
        {
            "test": test.key, "value": test.node.name, "of": test.of or None, "unit": test.unit,
            "samples": test.samples, "date": test.date, "how": test.how,
            "before": _form(test.before), "after": _form(test.after),
        }
        for test in pack.own_tests
    ]  # fmt: skip


def compared_text(case: Case, pack: RulePack, worlds: int) -> Iterator[str]:
    """What is advised with and without the tests, and whether they change it."""
    own, without = _both(case, pack, worlds)
    yield ""
    yield f"{case.name}{': ' if case.title else ''}{case.title}"
    yield f"  with your tests:    {_advised(own)}"
    yield f"  without them:       {_advised(without)}"
    same = _chosen(own) == _chosen(without)
    yield f"  {'The choice is the same.' if same else 'Your tests change the choice.'}"


def compared_form(case: Case, pack: RulePack, worlds: int) -> dict[str, Any]:
    """The same as JSON."""
    own, without = _both(case, pack, worlds)
    return {
        "case": case.name, "with": _advised_form(own), "without": _advised_form(without),
        "changed": _chosen(own) != _chosen(without),
    }  # fmt: skip


def _both(case: Case, pack: RulePack, worlds: int) -> tuple[Advice, Advice]:
    before = pack.without_own_tests
    return advise(case, pack, worlds, flips=False), advise(case, before, worlds, flips=False)


def _chosen(advice: Advice) -> tuple[str, tuple[str, ...]]:
    return str(advice.verdict), advice.plan.methods if advice.plan is not None else ()


def _advised(advice: Advice) -> str:
    if advice.plan is None:
        return str(advice.verdict)
    held = hold_words(advice.plan.hold_probability, advice.plan.hold_basis)
    return f"{advice.verdict}: {', '.join(advice.plan.titles)}; {held}"


def _advised_form(advice: Advice) -> dict[str, Any]:
    plan = advice.plan
    return {
        "verdict": str(advice.verdict),
        "methods": list(plan.methods) if plan is not None else [],
        "hold_probability": plan.hold_probability if plan is not None else None,
    }


def _form(three: Triple) -> dict[str, float]:
    return dict(zip(("low", "typical", "high"), three, strict=True))


def _range(three: Triple, test: OwnTest) -> str:
    unit = "" if test.unit == "1" else f" {unit_text(test.unit)}"
    return with_range(Range(*three)) + unit
