"""No plan speaks of a skin, padding or base that the part does not have.

Over every damage that occurs on every part: steps, cautions, needs, materials, tools and the job
sheet. What a part lacks is what the answer "none" says of it, or a layer that is never asked about.
The words are those by which the trade names a layer (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest

from advisor.advice.advise import advise_quick
from advisor.advice.result import Advice
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.job.sheet import job_sheet
from advisor.rulegraph.load import load_pack
from tests.field.gates import with_other_gates_cleared
from tests.unit.advice.given_cases import case

PACK = load_pack()
WORLDS = 256
NONE = "none"
#: What names each layer, by the fact that says what it is of.
WORDS = {
    PACK.roles.skin: r"\b(skins?|covers?|vinyl|leather|hides?|flesh side|seams?|stitch(es|ed)?)\b",
    "core.material": r"\b(foam|padding|wadding)\b",
    PACK.roles.base: r"\b(boards?|shells?|plywood|carrier)\b",
}
#: The same words where they mean something else: people's skin, gloves, what may lie behind it, a
#: chemical, a tool, and the name under which a shop keeps the price of a new part.
MEANT_OTHERWISE = re.compile(
    r"leather palm|no skin contact|through the skin|look (what lies )?behind[^.;]*"
    r"|two-part foams?|seats hide|cover the seats|new part or board|seam ripper",
    re.IGNORECASE,
)


def pairs() -> list[tuple[str, str]]:
    """Parts and damages that occur together."""
    damages = PACK.facts["damage.kind"].keys
    return [
        (part, damage)
        for part in PACK.parts
        for damage in damages
        if part in PACK.facts["part.kind"].keys and PACK.coverage.occurs(part, damage)
    ]


def told_of(part: str, damage: str) -> Case:
    known = case(part__kind=part, vehicle__kind="car", damage__kind=damage)
    return with_other_gates_cleared(known, PACK)


@cache
def ever_asked(part: str) -> frozenset[str]:
    """The facts that are asked of a part under one damage or another."""
    told = (told_of(of, damage) for of, damage in pairs() if of == part)
    return frozenset(decl.name for one in told for decl in PACK.asked(one))


def without_layer(part: str, damage: str) -> Iterator[tuple[str, Case]]:
    """The part told to lack each layer that it may lack, and as it is where it has none."""
    told = told_of(part, damage)
    worlds = SampledWorlds(told, PACK, WORLDS)
    for layer in WORDS:
        keys = PACK.facts[layer].keys
        if layer not in ever_asked(part):
            yield layer, told
        elif NONE in keys and worlds.mean(worlds.values[layer] == keys.index(NONE)) > 0.0:
            yield layer, told.with_fact(layer, (NONE,))


def texts(told: Case, advice: Advice) -> Iterator[str]:
    """Everything that a plan, its needs and its job sheet say."""
    yield from advice.cautions
    yield from (PACK.needs[need].title for need in advice.needs)
    for plan in advice.plans:
        for step in plan.steps:
            yield from (step.text, *step.cautions)
        yield from (*plan.materials, *plan.tools)
    sheet = job_sheet(told, PACK, advice)
    yield from sheet.cautions
    yield from (step.text for step in sheet.steps)
    yield from (item.title for item in sheet.items)
    yield from (wait.title for wait in sheet.waits)
    yield from sheet.not_covered
    for group in sheet.groups:
        yield from (amount.title for amount in group.amounts)
        yield from (amount.note for amount in group.amounts)
        yield from group.tips


def speaks_of(layer: str, text: str) -> bool:
    return re.search(WORDS[layer], MEANT_OTHERWISE.sub("", text), re.IGNORECASE) is not None


@pytest.mark.parametrize("part", sorted({part for part, _ in pairs()}))
def test_nothing_is_said_of_what_the_part_does_not_have(part: str) -> None:
    said: dict[tuple[str, str], str] = {}
    for damage in (damage for of, damage in pairs() if of == part):
        for layer, told in without_layer(part, damage):
            advice = advise_quick(told, PACK, WORLDS).advice
            for text in texts(told, advice):
                if speaks_of(layer, text):
                    said[layer, text] = damage
    assert not said


def test_there_are_parts_without_each_layer_and_the_words_are_found() -> None:
    lacking = {layer for part, damage in pairs() for layer, _ in without_layer(part, damage)}
    assert lacking == set(WORDS)
    assert speaks_of(PACK.roles.skin, "Refit the sound cover over it.")
    assert speaks_of("core.material", "Remove all spoiled foam, vacuum the dust.")
    assert speaks_of(PACK.roles.base, "Cut a new board to the old one.")
    assert not speaks_of(PACK.roles.skin, "Needles and blades: leather palm.")
