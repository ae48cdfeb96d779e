"""Conditions over the worlds, each part against its definition in every single world."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.rulegraph.compiling.conditions import compile_condition
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.conditions import (
    AllOrAny,
    Condition,
    IsOneOf,
    IsYes,
    Not,
    Within,
    against,
    code_type,
)
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.schema.base import ConditionModel

#: Choices by their number of options: one, few, many, more than fit into a byte.
CHOICES = {"only": 1, "feel": 3, "kind": 19, "many": 300}
LIMITS = (-1.0, 0.0, 0.5, 2.0)


def one_of(name: str, codes: set[int], negate: bool = False) -> IsOneOf:
    keys = frozenset(f"k{code}" for code in codes)
    return IsOneOf(name, keys, tuple(sorted(codes)), negate)


def chosen(name: str) -> st.SearchStrategy[Condition]:
    codes = st.sets(st.integers(0, CHOICES[name] - 1), max_size=min(CHOICES[name], 12))
    return st.builds(one_of, st.just(name), codes, st.booleans())


limits = st.tuples(st.sampled_from((*LIMITS, -np.inf)), st.sampled_from((*LIMITS, np.inf)))
tests = st.one_of(
    *[chosen(name) for name in CHOICES],
    st.builds(IsYes, st.just("leaned_on"), st.booleans()),
    limits.map(lambda ends: Within("age", *ends)),
)
wholes = st.recursive(
    tests,
    lambda inner: st.one_of(
        st.builds(AllOrAny, st.lists(inner, min_size=1, max_size=4).map(tuple), st.booleans()),
        st.builds(Not, inner),
    ),
    max_leaves=12,
)


def columns(n: int, seed: int) -> dict[str, Any]:
    """Columns of every kind; among the ages the limits themselves and no number at all."""
    rng = np.random.default_rng(seed)
    found: dict[str, Any] = {
        name: rng.integers(0, options, n).astype(code_type(options))
        for name, options in CHOICES.items()
    }
    found["leaned_on"] = rng.random(n) < 0.5
    found["age"] = rng.choice([*LIMITS, 0.25, 3.0, np.nan], n)
    return found


def parts(condition: Condition) -> Iterator[Condition]:
    yield condition
    for part in getattr(condition, "parts", (getattr(condition, "part", None),)):
        if part is not None:
            yield from parts(part)


def by_hand(condition: Condition, world: Mapping[str, Any]) -> bool:
    """One condition in one world, as it is defined."""
    match condition:
        case IsOneOf():
            return (f"k{world[condition.name]}" in condition.keys) != condition.negate
        case IsYes():
            return bool(world[condition.name]) == condition.wanted
        case Within():
            return bool(condition.low <= world[condition.name] <= condition.high)
        case AllOrAny():
            join = any if condition.any_will_do else all
            return join([by_hand(part, world) for part in condition.parts])
    assert isinstance(condition, Not)
    return not by_hand(condition.part, world)


@settings(max_examples=150, deadline=None)
@given(whole=wholes, n=st.sampled_from((2, 65)), seed=st.integers(0, 99))
def test_every_part_is_judged_as_it_is_defined(whole: Condition, n: int, seed: int) -> None:
    values = columns(n, seed)
    worlds = [{name: column[i] for name, column in values.items()} for i in range(n)]
    for part in parts(whole):
        assert part.test(values).tolist() == [by_hand(part, world) for world in worlds]


@settings(max_examples=60, deadline=None)
@given(condition=wholes, seed=st.integers(0, 99))
def test_what_speaks_against_a_condition(condition: Condition, seed: int) -> None:
    """Something does exactly where it does not hold."""
    values = columns(100, seed)
    found = against(condition, lambda part: part.test(values))
    assert [name for name, _ in found] == list(condition.names())
    spoken = np.any([mask for _, mask in found], axis=0)
    assert spoken.tolist() == (~condition.test(values)).tolist()


def test_only_the_failing_test_speaks_against_all_and_each_against_any() -> None:
    yes, old = IsYes("leaned_on", True), Within("age", 2.0, np.inf)
    values = {"leaned_on": np.array([True, False, False]), "age": np.array([1.0, 3.0, 1.0])}

    def said(whole: Condition) -> dict[str, list[bool]]:
        found = against(whole, lambda part: part.test(values))
        return {name: mask.tolist() for name, mask in found}

    every, either = AllOrAny((yes, old), any_will_do=False), AllOrAny((yes, old), any_will_do=True)
    assert said(every) == {"leaned_on": [False, True, True], "age": [True, False, True]}
    assert said(either) == {"leaned_on": [False, False, True], "age": [False, False, True]}


def test_what_is_asked_twice_is_one_condition(pack: RulePack) -> None:
    made: dict[Hashable, Condition] = {}

    def compiled(form: dict[str, Any]) -> Condition:
        model = ConditionModel.model_validate(form)
        return compile_condition(model, pack.facts, {}, lambda written, unit: float(written), made)

    stiff, brittle = {"fact": "skin.feel", "is": "stiff"}, {"fact": "skin.feel", "is": "brittle"}
    whole = compiled({"all": [stiff, {"not": brittle}]})
    assert compiled({"all": [stiff, {"not": brittle}]}) is whole
    assert isinstance(whole, AllOrAny)
    assert compiled(stiff) is whole.parts[0]
    others = [{"any": [stiff, {"not": brittle}]}, {"all": [{"not": brittle}, stiff]}, brittle,
              {"fact": "skin.feel", "is_not": "stiff"}, {"not": stiff}]  # fmt: skip
    assert len({whole, whole.parts[0], *map(compiled, others)}) == 2 + len(others)


def test_smallest_codes() -> None:
    assert code_type(1) == code_type(256) == np.uint8
    assert code_type(257) == np.uint16


def test_a_kept_pack_has_each_condition_once(own_folders: Path) -> None:
    load_pack()
    assert list(own_folders.rglob("pack-*")), "nothing was kept"
    kept = load_pack()
    found = list(conditions_of(kept))
    asked = {(type(condition), condition.asks) for condition in found}
    assert len(found) > len(set(found)) == len(asked)


def conditions_of(pack: RulePack) -> Iterator[Condition]:
    for need in pack.needs.values():
        yield need.when
    for method in pack.methods.values():
        yield from (requirement.condition for requirement in method.requirements)
        charges = (*method.work, *method.materials)
        yield from (charge.when for charge in charges if charge.when is not None)


FACTS = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@FACTS
@given(feel=st.sampled_from([(), ("stiff",), ("stiff", "brittle")]), n=st.sampled_from([64, 100]))
def test_worlds_say_what_holds(feel: tuple[str, ...], n: int, pack: RulePack) -> None:
    """Settled by the given facts or tested: always the same answer."""
    facts: dict[str, Any] = {"part.kind": ("armrest",), "damage.kind": ("seam_open",)}
    case = Case("HB-1", facts={**facts, **({"skin.feel": feel} if feel else {})})
    worlds = SampledWorlds(case, pack, n)
    feels = (one_feel(pack, {1}), one_feel(pack, {1, 2}), Not(one_feel(pack, {0})))
    for condition in (*conditions_of(pack), *feels):
        found, plain = worlds.holds(condition), {n: worlds.values[n] for n in condition.reads}
        assert found.tolist() == condition.test(plain).tolist()
        assert worlds.holds(condition) is found and not found.flags.writeable


def one_feel(pack: RulePack, codes: set[int]) -> IsOneOf:
    keys = pack.facts["skin.feel"].keys
    named = frozenset(keys[code] for code in codes)
    return IsOneOf("skin.feel", named, tuple(sorted(codes)), negate=False)
