"""Conditions: three-valued on a case, masks over the worlds, and the two never disagree."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span
from advisor.rulegraph.compiling.compiler import number
from advisor.rulegraph.compiling.conditions import ConditionError, compile_condition
from advisor.rulegraph.model.conditions import Condition
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.schema.base import ConditionModel

FEELS = ("supple", "stiff", "brittle")
KINDS = ("seam_open", "tear", "hole", "worn_surface")


def compiled(pack: RulePack, form: dict[str, Any]) -> Condition:
    units = {name: node.unit for name, node in pack.nodes.items()}
    return compile_condition(ConditionModel.model_validate(form), pack.facts, units, number)


def known(pack: RulePack, form: dict[str, Any], **facts: Any) -> bool | None:
    named = {name.replace("__", "."): value for name, value in facts.items()}
    return compiled(pack, form).known(Case("HB-1", facts=named))


STIFF = {"fact": "skin.feel", "is": ["stiff", "brittle"]}
OLD = {"fact": "vehicle.age", "at_least": "15 yr"}


def test_choice_is_three_valued(pack: RulePack) -> None:
    assert known(pack, STIFF) is None
    assert known(pack, STIFF, skin__feel=("stiff",)) is True
    assert known(pack, STIFF, skin__feel=("stiff", "brittle")) is True
    assert known(pack, STIFF, skin__feel=("supple", "stiff")) is None
    assert known(pack, STIFF, skin__feel=("supple",)) is False
    other = {"fact": "skin.feel", "is_not": "brittle"}
    assert known(pack, other, skin__feel=("supple", "stiff")) is True
    assert known(pack, other, skin__feel=("brittle",)) is False


def test_quantity_is_three_valued(pack: RulePack) -> None:
    assert known(pack, OLD, vehicle__age=Span(15, 15)) is True
    assert known(pack, OLD, vehicle__age=Span(14.9, 14.9)) is False
    assert known(pack, OLD, vehicle__age=Span(10, 20)) is None
    between = {"fact": "vehicle.age", "at_least": "5 yr", "at_most": "10 yr"}
    assert known(pack, between, vehicle__age=Span(5, 10)) is True
    assert known(pack, between, vehicle__age=Span(6, 12)) is None
    assert known(pack, between, vehicle__age=Span(4, 8)) is None
    assert known(pack, between, vehicle__age=Span(10.1, 12)) is False


def test_yes_and_no(pack: RulePack) -> None:
    form = {"fact": "load.leaned_on", "is": True}
    assert known(pack, form) is None
    assert known(pack, form, load__leaned_on=False) is False
    assert known(pack, {"not": form}, load__leaned_on=False) is True
    assert known(pack, {"not": form}) is None


def test_all_and_any_settle_as_soon_as_they_can(pack: RulePack) -> None:
    both, either = {"all": [STIFF, OLD]}, {"any": [STIFF, OLD]}
    assert known(pack, both, skin__feel=("supple",)) is False
    assert known(pack, both, skin__feel=("stiff",)) is None
    assert known(pack, either, skin__feel=("stiff",)) is True
    assert known(pack, either, skin__feel=("supple",)) is None


def test_a_node_is_never_known_from_the_case(pack: RulePack) -> None:
    form = {"node": "skin.shrinkage", "at_least": "0.03 1"}
    assert known(pack, form, skin__feel=("brittle",)) is None


@pytest.mark.parametrize(
    ("form", "problem"),
    [
        ({"fact": "skin.feel", "at_least": "3 mm"}, "is not compared like this"),
        ({"fact": "vehicle.age", "is": "old"}, "is a number"),
        ({"fact": "load.leaned_on", "is": "often"}, "is answered yes or no"),
        ({"fact": "skin.feel", "is": True}, "has no such option"),
        ({"all": []}, "an empty list"),
        ({"any": [{"not": {"fact": "skin.fel", "is": "stiff"}}]}, "no such fact"),
    ],
)
def test_what_cannot_be_compared(form: dict[str, Any], problem: str, pack: RulePack) -> None:
    with pytest.raises(ConditionError, match=problem):
        compiled(pack, form)


def test_the_place_of_a_fault_inside(pack: RulePack) -> None:
    form = {"all": [OLD, {"any": [OLD, {"not": {"fact": "skin.fel", "is": "stiff"}}]}]}
    with pytest.raises(ConditionError) as caught:
        compiled(pack, form)
    assert caught.value.inside == ("all", 1, "any", 1, "not")


def some_of(keys: tuple[str, ...]) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(keys), min_size=1, max_size=len(keys), unique=True)


ages = st.integers(1, 40)
leaves = st.one_of(
    st.builds(lambda keys: {"fact": "skin.feel", "is": keys}, some_of(FEELS)),
    st.builds(lambda keys: {"fact": "damage.kind", "is_not": keys}, some_of(KINDS)),
    st.builds(lambda yes: {"fact": "load.leaned_on", "is": yes}, st.booleans()),
    st.builds(lambda age: {"fact": "vehicle.age", "at_least": f"{age} yr"}, ages),
    st.builds(lambda age: {"fact": "vehicle.age", "at_most": f"{age} yr"}, ages),
)
forms = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.builds(lambda parts: {"all": parts}, st.lists(inner, min_size=1, max_size=3)),
        st.builds(lambda parts: {"any": parts}, st.lists(inner, min_size=1, max_size=3)),
        st.builds(lambda part: {"not": part}, inner),
    ),
    max_leaves=6,
)
spans = st.tuples(ages, ages).map(lambda ends: Span(float(min(ends)), float(max(ends))))
exact = {
    "skin.feel": st.sampled_from(FEELS).map(lambda key: (key,)),
    "damage.kind": st.sampled_from(KINDS).map(lambda key: (key,)),
    "load.leaned_on": st.booleans(),
    "vehicle.age": ages.map(lambda age: Span(float(age), float(age))),
}
vague = {
    **exact,
    "skin.feel": some_of(FEELS).map(tuple),
    "damage.kind": some_of(KINDS).map(tuple),
    "vehicle.age": spans,
}
modest = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@modest
@given(form=forms, facts=st.fixed_dictionaries(exact))
def test_a_fully_known_case_is_settled(
    form: dict[str, Any], facts: dict[str, Any], pack: RulePack
) -> None:
    condition, case = compiled(pack, form), Case("HB-1", facts=facts)
    worlds = SampledWorlds(case, pack, 8)
    mask = condition.test(worlds.values)
    assert condition.known(case) is bool(mask[0])
    assert mask.all() or not mask.any()


@modest
@given(form=forms, facts=st.fixed_dictionaries({}, optional=vague))
def test_what_is_known_is_so_in_every_world(
    form: dict[str, Any], facts: dict[str, Any], pack: RulePack
) -> None:
    condition, case = compiled(pack, form), Case("HB-1", facts=facts)
    answer = condition.known(case)
    worlds = SampledWorlds(case, pack, 64)
    mask = condition.test(worlds.values)
    assert answer is None or np.all(mask == answer)
