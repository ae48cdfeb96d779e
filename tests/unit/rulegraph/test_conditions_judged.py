"""Conditions judged together as rows of bits, against each tested by itself."""

from __future__ import annotations

import pickle
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model import judged as judged_module
from advisor.rulegraph.model.circuit import MANY, Circuit
from advisor.rulegraph.model.conditions import (
    Both,
    Condition,
    IsOneOf,
    IsYes,
    Not,
    Within,
    code_type,
)
from advisor.rulegraph.model.judged import Judged
from advisor.rulegraph.model.pack import RulePack

#: Choices by their number of options: one, few, exactly so many that digits are read, very many.
CHOICES = {"only": 1, "feel": 3, "digits": MANY, "kind": 19, "many": 300}
LIMITS = (-1.0, 0.0, 0.5, 2.0)
SIZES = (2, 7, 8, 63, 64, 65, 200)


def one_of(name: str, codes: set[int], negate: bool = False) -> IsOneOf:
    options = CHOICES[name]
    keys = frozenset(f"k{code}" for code in codes)
    return IsOneOf(name, keys, np.array(sorted(codes), code_type(options)), negate, options)


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
        st.builds(Both, st.lists(inner, min_size=1, max_size=4).map(tuple), st.booleans()),
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
        case Both():
            join = any if condition.any_will_do else all
            return join([by_hand(part, world) for part in condition.parts])
    assert isinstance(condition, Not)
    return not by_hand(condition.part, world)


@settings(max_examples=150, deadline=None)
@given(conditions=st.lists(wholes, min_size=1, max_size=5), n=st.sampled_from(SIZES),
       seed=st.integers(0, 99))  # fmt: skip
def test_every_part_is_judged_as_it_is_defined(
    conditions: list[Condition], n: int, seed: int
) -> None:
    values = columns(n, seed)
    judged = Judged(Circuit(conditions), values, n)
    worlds = [{name: column[i] for name, column in values.items()} for i in range(n)]
    for whole in conditions:
        for part in parts(whole):
            expected = [by_hand(part, world) for world in worlds]
            assert judged.mask(part).tolist() == expected
            assert part.test(values).tolist() == expected


@settings(max_examples=60, deadline=None)
@given(condition=wholes, seed=st.integers(0, 99), wide=st.booleans())
def test_chunks_wide_rows_and_the_trace(condition: Condition, seed: int, wide: bool) -> None:
    n, values = 300, columns(300, seed)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(judged_module, "CHUNK", 128)
        patch.setattr(judged_module, "READ", 64)
        patch.setattr(judged_module, "WIDE", 0 if wide else 4096)
        judged = Judged(Circuit([condition]), values, n)
        for world in (0, 127, 128, 299):
            here = {name: column[world] for name, column in values.items()}
            told = judged.trace(condition, world)
            assert [part for part, _ in told] == list(parts(condition))
            assert [held for _, held in told] == [by_hand(part, here) for part, _ in told]
    assert judged.mask(condition).tolist() == condition.test(values).tolist()


@settings(max_examples=60, deadline=None)
@given(condition=wholes, seed=st.integers(0, 99))
def test_what_speaks_against_a_condition(condition: Condition, seed: int) -> None:
    """Something does exactly where it does not hold."""
    n, values = 100, columns(100, seed)
    judged = Judged(Circuit([condition]), values, n)
    found = judged.against(condition)
    assert [name for name, _ in found] == list(condition.names())
    spoken = np.any([mask for _, mask in found], axis=0)
    assert spoken.tolist() == (~judged.mask(condition)).tolist()


def test_only_the_failing_test_speaks_against_all_and_each_against_any() -> None:
    yes, old = IsYes("leaned_on", True), Within("age", 2.0, np.inf)
    values = {"leaned_on": np.array([True, False, False]), "age": np.array([1.0, 3.0, 1.0])}
    every, either = Both((yes, old), any_will_do=False), Both((yes, old), any_will_do=True)
    judged = Judged(Circuit([every, either]), values, 3)
    against = {name: mask.tolist() for name, mask in judged.against(every)}
    assert against == {"leaned_on": [False, True, True], "age": [True, False, True]}
    against = {name: mask.tolist() for name, mask in judged.against(either)}
    assert against == {"leaned_on": [False, False, True], "age": [False, False, True]}


def test_what_is_said_twice_is_one_row() -> None:
    one = Both((one_of("kind", {1, 2}), IsYes("leaned_on", True)), any_will_do=False)
    same = Both((IsYes("leaned_on", True), one_of("kind", {2, 1})), any_will_do=False)
    twice = Not(Not(one))
    circuit = Circuit([one, same, twice])
    assert circuit.row[one] == circuit.row[same] == circuit.row[twice]
    assert circuit.height == Circuit([one]).height
    assert circuit.row[twice.part] == (circuit.row[one][0], not circuit.row[one][1])
    assert circuit.reads == {"kind", "leaned_on"}


def test_a_circuit_without_conditions() -> None:
    judged = Judged(Circuit([]), {}, 5)
    assert judged.table.shape == (1, 0, 8)


def test_smallest_codes() -> None:
    assert code_type(1) == code_type(256) == np.uint8
    assert code_type(257) == np.uint16


def test_the_circuit_of_the_pack_is_kept_with_it(own_folders: Path) -> None:
    load_pack()
    kept = [pickle.loads(path.read_bytes()) for path in own_folders.rglob("pack-*.pickle")]
    (again,) = kept
    assert "circuit" in vars(again)
    need = next(iter(again.needs.values()))
    assert need.when in again.circuit.row


def test_needs_and_requirements_of_every_method_are_in_the_circuit(pack: RulePack) -> None:
    for need in pack.needs.values():
        assert need.when in pack.circuit.row
    for method in pack.methods.values():
        for requirement in method.requirements:
            assert requirement.condition in pack.circuit.row


def test_nothing_is_computed_for_a_condition_that_may_not_be_put(pack: RulePack) -> None:
    always = [need.when for need in pack.needs.values()]
    for method in pack.methods.values():
        always += [requirement.condition for requirement in method.requirements]
        charges = (*method.work, *method.materials)
        always += [charge.when for charge in charges if charge.when is not None]
    assert pack.circuit.reads == {name for condition in always for name in condition.names()}


FACTS = settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@FACTS
@given(feel=st.sampled_from([(), ("stiff",), ("stiff", "brittle")]), n=st.sampled_from([64, 100]))
def test_worlds_say_what_holds(feel: tuple[str, ...], n: int, pack: RulePack) -> None:
    """Judged together, settled by the given facts or tested: always the same answer."""
    facts: dict[str, Any] = {"part.kind": ("armrest",), "damage.kind": ("seam_open",)}
    case = Case("HB-1", facts={**facts, **({"skin.feel": feel} if feel else {})})
    worlds = SampledWorlds(case, pack, n)
    plain = {name: worlds.values[name] for name in (*pack.circuit.reads, "skin.feel")}
    for condition in pack.circuit.row:
        assert worlds.holds(condition).tolist() == condition.test(plain).tolist()
    for condition in (one_feel(pack, {1}), one_feel(pack, {1, 2}), Not(one_feel(pack, {0}))):
        assert condition not in pack.circuit.row
        assert worlds.holds(condition).tolist() == condition.test(plain).tolist()
    assert worlds.used("skin.feel")


def one_feel(pack: RulePack, codes: set[int]) -> IsOneOf:
    keys = pack.facts["skin.feel"].keys
    named = frozenset(keys[code] for code in codes)
    numbers = np.array(sorted(codes), dtype=np.uint8)
    return IsOneOf("skin.feel", named, numbers, negate=False, options=len(keys))
