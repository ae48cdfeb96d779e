"""Lessons say what the files of the rules say, read here a second time as plain YAML."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.advice.advise import advise_quick
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.paths import demo_folder, rules_folder
from advisor.practice.lessons import (
    Lesson,
    lesson,
    lesson_keys,
    lessons_of,
    load_keys,
    method_keys,
)
from advisor.practice.lessons_conditions import condition_words
from advisor.practice.lessons_example import Examples
from advisor.practice.lessons_try import STEPS, sliders, tried
from advisor.rulegraph.model.pack import RulePack

Triple = tuple[float, float, float]


def triple(row: dict[str, Any]) -> Triple:
    """The three figures of a draw, a row or a charge as it is written."""
    if "value" in row:
        return (float(row["value"]),) * 3
    return float(row["low"]), float(row["typical"]), float(row["high"])


def files(folder: str) -> Iterator[dict[str, Any]]:
    for path in sorted((rules_folder() / folder).glob("*.yaml")):
        yield yaml.load(Path(path).read_text("utf-8"), Loader=yaml.BaseLoader)


def method_of(file: dict[str, Any]) -> str:
    """Key of the method that a file is about, its variant behind a dot."""
    variant = f".{file['variant']}" if "variant" in file else ""
    return (file.get("method") or file["variant_of"]) + variant


@pytest.fixture(scope="module")
def written() -> dict[str, Counter[Triple]]:
    """Every range that a node of the files is drawn from, by the node's name."""
    found: dict[str, Counter[Triple]] = {}
    for file in (*files("loads"), *files("methods")):
        scope = f"{method_of(file)}." if "method" in file else ""
        for name, node in file.get("nodes", {}).items():
            draw = node.get("draw")
            if draw is not None:
                rows = [*draw.get("by", ()), draw]
                found[scope + name] = Counter(triple(row) for row in rows)
    return found


@pytest.fixture(scope="module")
def lessons(pack: RulePack) -> dict[str, Lesson]:
    """All pages."""
    return {key: lesson(key, pack) for key in lesson_keys(pack)}


def test_every_load_and_every_method_has_a_page(
    lessons: dict[str, Lesson], pack: RulePack
) -> None:
    causes = {
        name for file in files("loads") for name, node in file.get("nodes", {}).items()
        if node.get("cause") == "yes"
    }  # fmt: skip
    methods = {f"method.{method_of(file)}" for file in files("methods")}
    assert causes <= set(load_keys(pack))
    assert methods <= set(method_keys(pack))
    for key, page in lessons.items():
        assert page.parts, key
        assert page.lead.endswith("."), key
        assert page.sources or not page.figures, key


def test_figures_on_a_page_are_those_of_the_files(
    lessons: dict[str, Lesson], written: dict[str, Counter[Triple]]
) -> None:
    """Not one range is left out, changed or added, on any page it stands on."""
    seen: set[str] = set()
    for key, page in lessons.items():
        shown: dict[str, Counter[Triple]] = {}
        for part in page.parts:
            here: dict[str, Counter[Triple]] = {}
            for figure in part.figures:
                ends = figure.value.low, figure.value.typical, figure.value.high
                here.setdefault(figure.name, Counter())[ends] += 1
            # A node of which two weak points of a joint take a factor stands under each.
            shown |= here
        for name, ranges in shown.items():
            if name in written:
                seen.add(name)
                assert Counter(set(ranges)) == Counter(set(written[name])), f"{name} on {key}"
    assert len(seen) > 150, "most ranges of the files stand on some page"


def test_a_page_holds_all_that_its_load_is_calculated_from(
    lessons: dict[str, Lesson], written: dict[str, Counter[Triple]], pack: RulePack
) -> None:
    for key in load_keys(pack):
        needed = {name for name in (*pack.feeding(key), key) if name in written}
        assert needed <= {figure.name for figure in lessons[key].figures}, key


def test_minutes_and_prices_on_the_page_of_a_method_are_those_of_its_file(
    lessons: dict[str, Lesson],
) -> None:
    checked = 0
    for file in files("methods"):
        page = lessons[f"method.{method_of(file)}"]
        shown = {(figure.title, *vars_of(figure)) for figure in page.figures}
        if "variant_of" in file:
            continue  # such a file says only what differs, by places in lists
        charges = [(row["what"], row["minutes"]) for row in file.get("work", ())]
        charges += [(row["what"], row["price"]) for row in file.get("materials", ())]
        for what, spread in charges:
            if isinstance(spread, dict):
                assert (what, *triple(spread)) in shown, f"{what} of {method_of(file)}"
                checked += 1
    assert checked > 150


def vars_of(figure: Any) -> Triple:
    return figure.value.low, figure.value.typical, figure.value.high


def test_rows_of_a_table_stand_on_the_page_with_what_they_are_for(
    lessons: dict[str, Lesson],
) -> None:
    """Force of a leaning arm on an armrest, as written in the file of the part."""
    (armrest,) = (file for file in files("parts") if file["part"] == "armrest")
    (row,) = (
        figure for figure in lessons["load.lean_drag"].figures
        if figure.name == "part.lean_force" and "Armrest" in figure.where
    )  # fmt: skip
    assert vars_of(row) == triple(armrest["values"]["lean_force"])


def test_every_link_leads_to_a_page(lessons: dict[str, Lesson]) -> None:
    for key, page in lessons.items():
        for part in page.parts:
            for link in part.links:
                assert link.key in lessons, f"{link} on {key}"


def test_conditions_are_said_in_words_without_names_of_the_rules(pack: RulePack) -> None:
    named = {*pack.facts, *pack.nodes}
    for method in pack.methods.values():
        for requirement in method.requirements:
            words = condition_words(requirement.condition, pack)
            assert words and not named & set(words.replace("“", " ").split()), words


def test_the_lessons_of_a_reason_are_its_cause_its_load_and_its_method(pack: RulePack) -> None:
    case = read_case(demo_folder() / "split_armrest.yaml", pack.facts)
    advice = advise_quick(case, pack, 256).advice
    stitch = next(one for one in advice.methods if one.method == "hand_stitch")
    reason = next(one for one in stitch.because if len(one.path) > 1)
    keys = [link.key for link in lessons_of(reason.path, pack)]
    assert keys[-1] == "method.hand_stitch"
    assert keys[-2] == reason.path[-2]
    assert any(pack.nodes[key].cause for key in keys[:-1])


def test_no_page_for_a_name_that_is_none(pack: RulePack) -> None:
    with pytest.raises(KeyError, match=r"people\.friction"):
        lesson("people.friction", pack)


def test_the_example_of_a_lesson_shows_it(pack: RulePack) -> None:
    """In the case that is drawn the load is there, and the method can be done."""
    examples = Examples(pack)
    for key in ("load.cold", "load.lean_drag", "closure.wind", "method.hand_stitch",
                "method.stud_renew", "demand.fixing_peak"):  # fmt: skip
        case = examples.find(key)
        assert case is not None, key
        advice = advise_quick(case, pack, 64, rough=True).advice
        if key.startswith("method."):
            assert key.removeprefix("method.") in {
                one.method for one in advice.methods if one.status.value in ("holds", "fails")
            }
        else:
            nodes = {cause.node for load in advice.loads for cause in load.causes}
            loads = {getattr(pack.sites[load.site], load.duration) for load in advice.loads}
            assert key in nodes | loads


@pytest.mark.slow
def test_every_lesson_has_an_example(pack: RulePack) -> None:
    """Also where a negated condition or a measured fact must hold, or a way leads nowhere."""
    examples = Examples(pack)
    assert [key for key in lesson_keys(pack) if examples.find(key) is None] == []


@pytest.fixture(scope="module")
def case(pack: RulePack) -> Case:
    """A seam of an armrest in a shuttle bus, open in frost."""
    return read_case(demo_folder() / "split_armrest.yaml", pack.facts)


class TestMovedByHand:
    """What follows is the advice's own calculation."""

    def usage(self, case: Case, pack: RulePack, name: str, at: float) -> dict[str, float]:
        usual = {one.node: one.usual for one in sliders(case, pack)}
        advice = tried(case, pack, {name: at}, usual)
        return {one.method: one.usage.typical for one in advice.methods if one.usage}

    def test_the_four_of_the_task_are_offered_with_their_likely_value_inside(
        self, case: Case, pack: RulePack
    ) -> None:
        found = sliders(case, pack)
        assert [one.node for one in found] == list(pack.roles.tried_by_hand)
        for one in found:
            assert one.low < one.usual < one.high
            assert one.at(0) == one.low
            assert one.at(STEPS) == pytest.approx(one.high)
            assert one.step(one.at(7)) == 7

    def test_left_where_it_is_nothing_changes(self, case: Case, pack: RulePack) -> None:
        plain = advise_quick(case, pack, 512, rough=True).advice
        assert tried(case, pack, {}, {}).loads == plain.loads

    def test_more_shrinkage_and_swelling_pull_more(self, case: Case, pack: RulePack) -> None:
        """Sheet mechanics: line tension is stiffness times the strain that is held back."""
        usual = {one.node: one.usual for one in sliders(case, pack)}
        for name in ("skin.shrinkage", "core.swelling"):
            less, more = (
                tried(case, pack, {name: factor * usual[name]}, usual).loads[0].value.typical
                for factor in (0.5, 2.0)
            )
            assert more > less, name

    def test_three_times_the_shrinkage_is_three_times_its_pull(
        self, case: Case, pack: RulePack
    ) -> None:
        # Edges that still meet and glue that gave way are evidence of pull: with such answers
        # the likely simulated cases shift too.
        told = {k: v for k, v in case.facts.items() if k.endswith((".kind", ".material", ".age"))}
        case = replace(case, facts=told, earlier_repairs=None)
        usual = {one.node: one.usual for one in sliders(case, pack)}
        name = "skin.shrinkage"
        shares = set(pack.nodes["load.shrinkage"].operation.names())

        def pull(factor: float) -> dict[str, float]:
            advice = tried(case, pack, {name: factor * usual[name]}, usual)
            causes = (cause for load in advice.loads for cause in load.causes)
            return {c.node: c.value.typical for c in causes if c.node in shares}

        once, thrice = pull(1.0), pull(3.0)
        assert once
        for node, value in once.items():
            assert thrice[node] == pytest.approx(3.0 * value, rel=1e-6), node

    def test_the_colder_the_night_the_more_it_pulls(self, case: Case, pack: RulePack) -> None:
        usual = {one.node: one.usual for one in sliders(case, pack)}

        def pull(degrees: float) -> float:
            advice = tried(case, pack, {"place.night_minimum": degrees}, usual)
            causes = (cause for load in advice.loads for cause in load.causes)
            return next((c.value.typical for c in causes if c.node == "load.cold"), 0.0)

        assert pull(-30.0) > pull(-10.0) > pull(5.0) >= 0.0

    def test_holes_too_close_tear_the_skin_and_too_far_apart_break_the_thread(
        self, case: Case, pack: RulePack
    ) -> None:
        """Both ends are worse than the middle; common practice, no source."""
        near, usual, far = (
            self.usage(case, pack, "seam.pitch", pitch)["hand_stitch"]
            for pitch in (2.2, 4.0, 7.0)
        )
        assert near > usual < far
