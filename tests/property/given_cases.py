"""Cases as they might be told: any declared fact, answered in any way that is accepted.

Everything is drawn from the declarations of the pack that is loaded, so a fact, part or
gate that is added takes part without a word here. Usually the same examples are taken
every time; ``PROPERTY_PROFILE=deep`` looks for new ones, many times as many
(``MORE_EXAMPLES`` says how many times).
"""

from __future__ import annotations

import math
import os
from collections.abc import Collection, Mapping
from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st

from advisor.facts.case import Case, EarlierRepair, Span, Value
from advisor.facts.case_file import read_case
from advisor.facts.declaration import FactDecl, Kind
from advisor.paths import rules_folder
from advisor.rulegraph.compiling.pack import build_pack
from advisor.rulegraph.reading.read_pack import read_files

PACK = build_pack(read_files(rules_folder(), None))
DEMOS = Path(__file__).parents[2] / "demo_cases"
STARTED = ("part.kind", "vehicle.kind", "damage.kind")
GATED = frozenset(gate.fact for gate in PACK.gates.values())

DEEP = os.environ.get("PROPERTY_PROFILE") == "deep"
#: How many times the usual number of examples, for a long search.
MORE = int(os.environ.get("MORE_EXAMPLES", "20" if DEEP else "1"))
PATIENT = (HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large)
settings.register_profile("deep", derandomize=False, database=None, print_blob=True, deadline=None)


def examples(number: int, *, shrink: bool = True) -> settings:
    """Settings with this many examples; ``shrink`` False where any failure will do."""
    phases = [phase for phase in Phase if shrink or phase is not Phase.shrink]
    parent = settings.get_profile("deep") if DEEP else None
    return settings(
        parent, max_examples=number * MORE, deadline=None, phases=phases,
        suppress_health_check=PATIENT,
    )  # fmt: skip


def demo(name: str) -> Case:
    """A demo case by the name of its file."""
    return read_case(DEMOS / f"{name}.yaml", PACK.facts, methods=PACK.methods)


def demos() -> dict[str, Case]:
    """All demo cases, by the names of their files."""
    return {path.stem: demo(path.stem) for path in sorted(DEMOS.glob("*.yaml"))}


def answers(decl: FactDecl) -> st.SearchStrategy[Value]:
    """Anything that a case file may say of a fact: vague, wide, at the very bounds."""
    if decl.kind is Kind.CHOICE:
        some = st.lists(st.sampled_from(decl.keys), min_size=1, max_size=3, unique=True)
        return some.map(tuple)
    if decl.kind is Kind.QUANTITY:
        number = numbers(decl)
        return certain(decl) | st.tuples(number, number).map(lambda ends: Span(*sorted(ends)))
    return certain(decl)


def numbers(decl: FactDecl) -> st.SearchStrategy[float]:
    """Any figure that is possible; whole ones of a count."""
    if decl.whole:
        return st.integers(math.ceil(decl.low), math.floor(decl.high)).map(float)
    return st.floats(decl.low, decl.high)


def certain(decl: FactDecl) -> st.SearchStrategy[Value]:
    """One answer, no range."""
    if decl.kind is Kind.CHOICE:
        return st.sampled_from(decl.keys).map(lambda key: (key,))
    if decl.kind is Kind.QUANTITY:
        return numbers(decl).map(lambda x: Span(x, x))
    return st.booleans() if decl.kind is Kind.YES_NO else st.just("told on the quay")


def single_answers(fact: str) -> list[Value]:
    """Every answer to a yes/no or a choice that names one thing."""
    decl = PACK.facts[fact]
    return [False, True] if decl.kind is Kind.YES_NO else [(key,) for key in decl.keys]


@cache
def harmless(fact: str) -> tuple[Value, ...]:
    """Answers to a gate's fact that close no gate, whatever vehicle or part it is in.

    A gate that closes beside such an answer would close beside any other too.
    """
    answers = single_answers(fact)
    closing: set[Value] = set()
    for gate in PACK.gates.values():
        others = sorted({*gate.closed_when.names()} - {fact} if gate.fact == fact else ())
        for rest in product(*map(single_answers, others)) if gate.fact == fact else ():
            around = dict(zip(others, rest, strict=True))
            shut = [
                answer for answer in answers
                if gate.closed_when.known(Case("HB-1", facts={**around, fact: answer}))
            ]  # fmt: skip
            if len(shut) < len(answers):
                closing.update(shut)
    return tuple(answer for answer in answers if answer not in closing)


def one_of_kinds(*words: str) -> st.SearchStrategy[Value]:
    """One of these options of a choice."""
    return st.sampled_from([(word,) for word in words])


repairs = st.none() | st.lists(
    st.sampled_from(sorted(PACK.method_words)).map(EarlierRepair), max_size=2
).map(tuple)
names = st.integers(1, 9999).map(lambda number: f"HB-{number}")


def cases(
    *,
    started: bool = True,
    sure: bool = False,
    safe: bool = False,
    full: bool = False,
    given: Mapping[str, st.SearchStrategy[Value]] | None = None,
    leave: Collection[str] = (),
) -> st.SearchStrategy[Case]:
    """Cases with any facts, in any combination, asked for or not.

    ``started``: part, vehicle and damage are among them. ``sure``: no vague answers.
    ``safe``: every gate is answered, none closes. ``full``: every fact is answered.
    ``given``: these facts, drawn so; ``leave``: these facts stay open.
    """
    say = certain if sure else answers
    always: dict[str, st.SearchStrategy[Value]] = dict(given or {})
    rest: dict[str, st.SearchStrategy[Value]] = {}
    for name, decl in PACK.facts.items():
        if name in always or name in leave:
            continue
        if safe and name in GATED:
            always[name] = st.sampled_from(harmless(name))
        elif full or (started and name in STARTED):
            always[name] = say(decl)
        else:
            rest[name] = say(decl)
    facts = st.fixed_dictionaries(always, optional=rest).map(_fitting)
    return st.builds(Case, name=names, facts=facts, earlier_repairs=repairs)


def interviews(**how: Any) -> st.SearchStrategy[Case]:
    """Cases in which nothing is told that would not be asked, or with every question answered."""
    some, every = cases(**how), cases(**{**how, "full": True})
    return some.map(as_asked) | every.map(as_asked)


def _fitting(facts: dict[str, Value]) -> dict[str, Value]:
    """Quantities cut to what the kind of part allows, as a case file is read.

    And a damage that occurs on the part: what is not covered is calculated for nobody.
    """
    _go_together(facts)
    kinds = facts.get("part.kind", ())
    assert isinstance(kinds, tuple)
    for name, value in facts.items():
        by = PACK.facts[name].high_by
        if by and kinds and isinstance(value, Span):
            most = max(by.get(kind, PACK.facts[name].high) for kind in kinds)
            facts[name] = Span(min(value.low, most), min(value.high, most))
    return facts


def _go_together(facts: dict[str, Value]) -> None:
    for name in ("part.kind", "damage.kind"):
        keys, named = PACK.facts[name].keys, facts.get(name, ())
        assert isinstance(named, tuple)
        known = tuple(key for key in named if not PACK.facts[name].option(key).not_covered)
        if named:
            facts[name] = known or keys[:1]
    parts, damages = facts.get("part.kind", ()), facts.get("damage.kind", ())
    assert isinstance(parts, tuple) and isinstance(damages, tuple)
    if parts and damages and not PACK.is_covered(Case("HB-1", facts=facts)):
        occurring = sorted(PACK.coverage.usual[parts[0]])
        place = PACK.facts["damage.kind"].keys.index(damages[0])
        facts["damage.kind"] = (occurring[place % len(occurring)],)


def as_asked(told: Case) -> Case:
    """The case without the facts that would not be asked, given the others."""
    while True:
        asked = {decl.name for decl in PACK.asked(told)}
        kept = {name: value for name, value in told.facts.items() if name in asked}
        if len(kept) == len(told.facts):
            return told
        told = replace(told, facts=kept)


#: Facts in any combination, and facts as an interview brings them together.
any_case = cases() | interviews()
