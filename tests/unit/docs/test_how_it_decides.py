"""The figures quoted on the page about deciding are what the program gives, within a tenth.

That they are also right is checked by hand in ``test_docs_by_hand.py``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from advisor import paths
from advisor.advice.advise import DEFAULT_WORLDS, advise
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.result import Advice, Status, Verdict
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.rulegraph import load
from advisor.rulegraph.model.pack import RulePack

DECIDES_PAGE = (
    Path(__file__).parents[3] / "docs" / "how-it-decides.md"
).read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def shipped() -> RulePack:
    return load.load_pack(paths.rules_folder())


@pytest.fixture(scope="module")
def armrest(shipped: RulePack) -> Case:
    demo = paths.demo_folder() / "split_armrest.yaml"
    return read_case(demo, shipped.facts, methods=shipped.methods)


@pytest.fixture(scope="module")
def advice(armrest: Case, shipped: RulePack) -> Advice:
    return advise(armrest, shipped)


@pytest.fixture(scope="module")
def working(armrest: Case, shipped: RulePack) -> Working:
    return work_out(armrest, shipped, DEFAULT_WORLDS)


def rows(heading: str) -> dict[str, list[float]]:
    """Rows of the table whose first column is headed so: name to figures."""
    _, _, table = DECIDES_PAGE.partition(f"\n| {heading} |")
    assert table, heading
    found = {}
    for line in table.splitlines()[2:]:
        if not line.startswith("|"):
            break
        name, *cells = (cell.strip() for cell in line.strip("|").split("|"))
        found[name] = [float(cell) for cell in cells if re.fullmatch(r"[0-9.]+", cell)]
    return found


def near(value: float) -> Any:
    return pytest.approx(value, rel=0.1)


def test_the_loads_quoted(advice: Advice) -> None:
    loads = {load.title: load.value for load in advice.loads}
    quoted = rows("Load")
    assert len(quoted) == 3
    for title, figures in quoted.items():
        value = loads[title]
        assert figures == [near(value.low), near(value.typical), near(value.high)]


def test_the_usages_quoted(advice: Advice) -> None:
    methods = {method.title: method for method in advice.methods}
    quoted = rows("Method")
    assert set(quoted) == {m.title for m in advice.methods if m.usage is not None}
    for title, figures in quoted.items():
        usage = methods[title].usage
        assert usage is not None
        assert figures[:3] == [near(usage.low), near(usage.typical), near(usage.high)]
        assert figures[3] == pytest.approx(100 * methods[title].hold_probability, abs=3)


def test_the_usage_worked_out(working: Working) -> None:
    worlds, outcomes = working.situation.worlds, working.situation.outcomes
    quoted = rows("Middle figure")
    assert len(quoted) == 10
    for column, (method, key) in enumerate(
        (("hand_stitch", "ligament"), ("adhesive_bond", "peel"))
    ):
        modes = [m for joint in outcomes[method].joints for m in joint.modes]
        used = next(m for m in modes if m.mode.key == key)
        mode = used.mode
        refs = {"capacity, N/mm": mode.capacity, "fs": mode.sustained, "hot": mode.hot,
                "fc": mode.cyclic, "warm": mode.warm, "cold": mode.cold,
                "relief, N/mm": mode.relief}  # fmt: skip
        middle = {
            name: float(worlds.quantiles(worlds.values[ref.name])[1]) if ref.name else ref.constant
            for name, ref in refs.items()
        }
        for duration, term in used.terms.items():
            middle[f"part of usage, {duration}"] = float(worlds.quantiles(term)[1])
        assert {name: figures[column] for name, figures in quoted.items()} == {
            name: near(value) for name, value in middle.items()
        }


def test_the_plans_quoted(working: Working, shipped: RulePack) -> None:
    worlds = working.situation.worlds
    plans = {shipped.methods[plan.lead].title: plan for plan in working.plans}
    quoted = rows("Plan")
    assert list(quoted) == list(plans)
    for title, figures in quoted.items():
        plan = plans[title]
        parts = (plan.price, plan.comeback, plan.looks, plan.cost)
        for figure, part in zip(figures, parts, strict=True):
            assert figure == pytest.approx(worlds.mean(part), rel=0.1, abs=0.5)


def test_the_verdict_and_flips_quoted(advice: Advice) -> None:
    assert advice.verdict is Verdict.PLAN
    assert not any(question.worth_asking for question in advice.ask)
    _, _, after = DECIDES_PAGE.partition("For the armrest:\n\n")
    listed = after.split("\n\n")[0].replace("\n  ", " ").splitlines()
    assert len(listed) == len(advice.flips) == 7
    short = {"recover_panel": "then re-cover", "machine_restitch": "then machine stitch"}
    answers = {"number of such places": "over three", "length of the damage": "over 600 mm"}
    for line, flip in zip(listed, advice.flips, strict=True):
        title, _, said = line.removeprefix("- ").partition(": ")
        assert title == flip.title[0].lower() + flip.title[1:]
        assert short[flip.then] in said
        assert title in answers or flip.amount is None
        assert said.startswith(answers.get(title, ""))
    edges = {flip.fact: flip.amount.low for flip in advice.flips if flip.amount is not None}
    assert edges == {
        "damage.count": pytest.approx(3, abs=0.5), "damage.length": pytest.approx(600, rel=0.1),
    }  # fmt: skip


def middle_of(working: Working) -> Callable[[str], float]:
    """The middle of a fact or node over the worlds."""
    worlds = working.situation.worlds
    return lambda name: float(worlds.quantiles(worlds.values[name])[1])


def test_the_drag_and_the_frost_worked_out(working: Working) -> None:
    middle = middle_of(working)
    said = re.search(r"(\d+) × ([\d.]+) / \(2 × (\d+)\) = ([\d.]+) N/mm", DECIDES_PAGE)
    assert said is not None
    force, friction, width, drag = (float(figure) for figure in said.groups())
    assert drag == pytest.approx(force * friction / (2 * width), rel=0.02)
    assert force == near(middle("people.lean_force"))
    assert friction == near(middle("people.friction"))
    assert width == near(middle("part.slide_width"))
    assert near(middle("people.uses")) == 500_000
    assert near(middle("people.weight")) == 1.2
    assert near(middle("load.lean_drag")) == 0.38
    assert near(middle("place.night_minimum")) == -17
    assert near(middle("place.cold_nights")) == 2800
    assert near(middle("place.cold_weight")) == 2 / 3
    assert near(middle("load.cold")) == 0.024
    push = re.search(r"180 × 9.81 × ([\d.]+) × ([\d.]+) = (\d+) N", DECIDES_PAGE)
    assert push is not None
    share, hardest, newtons = (float(figure) for figure in push.groups())
    assert newtons == pytest.approx(180 * 9.81 * share * hardest, rel=0.01)
    assert share == near(middle("part.push_share"))
    assert hardest == near(middle("people.hardest_day"))
    assert newtons == near(middle("people.push_force"))
    assert middle("people.most") == 180.0
    words = DECIDES_PAGE.replace("\n", " ")
    for said_so in (
        "about 500,000 times", "a fifth more: 0.38 N/mm", "at -17 °C", "about 2,800 times",
        "a third less: 0.024 N/mm",
    ):  # fmt: skip
        assert said_so in words


def test_the_causes_quoted(advice: Advice) -> None:
    """Every cause worth a tenth of its load is named, and the shrinking ones together."""
    told = {
        "People push off it to rise": ["load.push_off"],
        "An arm drags on it": ["load.lean_drag"], "Frost contracts the skin": ["load.cold"],
        "The padding has swollen in the damp": ["load.swelling"],
        "The cover was pulled on tight": ["load.fit_old"],
        "The vinyl has shrunk": [
            "load.evaporation", "load.extraction", "load.uptake", "load.forming",
        ],
    }  # fmt: skip
    quoted = rows("Cause")
    assert set(quoted) == set(told)
    named = {node for nodes in told.values() for node in nodes}
    for told_load in advice.loads[:2]:
        small = 0.1 * told_load.value.typical
        assert all(c.node in named or c.value.typical < small for c in told_load.causes)
    single = {c.node: c.value.typical for arriving in advice.loads for c in arriving.causes}
    for title, nodes in told.items():
        if len(nodes) == 1:
            assert quoted[title] == [near(single[nodes[0]])]


def test_the_plasticizer_quoted(armrest: Case, shipped: RulePack, working: Working) -> None:
    stiff = armrest.with_fact("skin.feel", ("stiff",))
    columns = [middle_of(working), middle_of(work_out(stiff, shipped, DEFAULT_WORLDS))]
    nodes = ("vinyl.held", "vinyl.evaporated", "vinyl.extracted", "vinyl.felt_loss",
             "vinyl.taken_up", "skin.shrinkage", "load.shrinkage")  # fmt: skip
    for (row, figures), node in zip(rows("Plasticizer").items(), nodes, strict=True):
        share = 100 if row.endswith("%") else 1
        assert figures == [near(share * middle(node)) for middle in columns], row
    assert rows("Cause")["The vinyl has shrunk"] == [near(columns[0]("load.shrinkage"))]


def test_the_stiff_skin_quoted(armrest: Case, shipped: RulePack) -> None:
    stiff = armrest.with_fact("skin.feel", ("stiff",))
    found = advise(stiff, shipped, flips=False)
    assert found.verdict is Verdict.ASK and found.ask[0].fact == "damage.hole_pull"
    assert found.plan is not None and found.plan.lead == "hand_stitch"
    assert "would hold in 63 of 100" in DECIDES_PAGE
    assert 100 * found.plan.hold_probability == pytest.approx(63, abs=3)
    leads, pulls = [], []
    for cloth in ("knit", "woven"):
        done = work_out(stiff.with_fact("skin.backing", (cloth,)), shipped, DEFAULT_WORLDS)
        leads.append(done.plans[0].lead)
        pulls.append(middle_of(done)("load.shrinkage"))
    assert leads == ["hand_stitch", "hand_stitch"]
    shrunk, shrunk_weave = pulls
    assert 0.45 < shrunk_weave / shrunk < 0.65


def test_workmanship_quoted(working: Working) -> None:
    outcome = working.situation.outcomes["hand_stitch"]
    worlds = working.situation.worlds
    strong = worlds.mean((outcome.joints[0].usage <= 1.0).astype(float))
    words = DECIDES_PAGE.replace("\n", " ")
    assert "strong enough in 93 of 100 cases" in words
    assert "succeeds in about 96 of 100" in words
    assert 100 * strong == pytest.approx(93, abs=2)
    assert 100 * outcome.method.reliability.mean == pytest.approx(96, abs=1)


def test_the_measurement_quoted(armrest: Case, shipped: RulePack, advice: Advice) -> None:
    measured = advise(
        armrest.with_fact("damage.closing_pull", Span(14, 14)), shipped, flips=False
    )
    words = DECIDES_PAGE.replace("\n", " ")
    assert "was 0.064 N/mm; with the reading it is 0.087 N/mm" in words
    assert "The hand stitch holds as before" in words
    assert measured.plan is not None and measured.plan.lead == "hand_stitch"
    assert near(advice.loads[0].value.typical) == 0.064
    assert near(measured.loads[0].value.typical) == 0.087
    before = advice.plan
    assert before is not None
    held = measured.plan.hold_probability
    assert held == pytest.approx(before.hold_probability, abs=0.03)
    assert measured.effective_worlds < advice.effective_worlds
    assert measured.methods[0].status is Status.HOLDS


def test_a_reading_that_fits_nothing_leaves_no_figure(armrest: Case, shipped: RulePack) -> None:
    odd = advise(armrest.with_fact("damage.closing_pull", Span(150, 150)), shipped, flips=False)
    assert odd.findings and odd.loads == odd.methods == odd.plans == () and odd.plan is None
    assert odd.verdict == "ask" and odd.ask[0].fact == "damage.closing_pull"


def test_every_hazard_is_in_the_table(shipped: RulePack) -> None:
    """By the title of its question; those of an aircraft after the word."""
    _, _, table = DECIDES_PAGE.partition("\n| Asked about |")
    lines = table.split("\n\n")[0].splitlines()[2:]
    told = [line.split("|")[1].strip().removeprefix("aircraft: ") for line in lines]
    titles = [shipped.facts[gate.fact].title.lower() for gate in shipped.gates.values()]
    assert sorted(told) == sorted(titles)
