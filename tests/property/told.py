"""Cases as they might be told: any declared fact, answered in any way that is accepted."""

from __future__ import annotations

import os
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st

from advisor.facts.case import Case, EarlierRepair, Span, Value
from advisor.facts.case_file import read_case
from advisor.facts.declare import FactDecl, Kind
from advisor.paths import rules_folder
from advisor.rulegraph.build import build_pack
from advisor.rulegraph.reading import read_files

PACK = build_pack(read_files(rules_folder(), None))
DEMOS = Path(__file__).parents[2] / "demo_cases"
STARTED = ("part.kind", "vehicle.kind", "damage.kind")
#: How many times the usual number of examples, for a long search.
MORE = int(os.environ.get("MORE_EXAMPLES", "1"))


def examples(number: int) -> settings:
    """Settings with this many examples."""
    return settings(max_examples=number * MORE, deadline=None)


def demo(name: str) -> Case:
    """A demo case by the name of its file."""
    return read_case(DEMOS / f"{name}.yaml", PACK.facts, methods=PACK.methods)


def answers(decl: FactDecl) -> st.SearchStrategy[Value]:
    """Anything that a case file may say of a fact."""
    if decl.kind is Kind.YES_NO:
        return st.booleans()
    if decl.kind is Kind.TEXT:
        return st.just("told on the quay")
    if decl.kind is Kind.CHOICE:
        some = st.lists(st.sampled_from(decl.keys), min_size=1, max_size=3, unique=True)
        return some.map(tuple)
    number = st.floats(decl.low, decl.high, allow_nan=False)
    exact = number.map(lambda x: Span(x, x))
    return exact | st.tuples(number, number).map(lambda ends: Span(min(ends), max(ends)))


def certain(decl: FactDecl) -> st.SearchStrategy[Value]:
    """One answer, no range."""
    if decl.kind is Kind.CHOICE:
        return st.sampled_from(decl.keys).map(lambda key: (key,))
    if decl.kind is Kind.QUANTITY:
        return st.floats(decl.low, decl.high, allow_nan=False).map(lambda x: Span(x, x))
    return answers(decl)


repairs = st.none() | st.lists(
    st.sampled_from(sorted(PACK.method_words)).map(EarlierRepair), max_size=2
).map(tuple)
names = st.integers(1, 9999).map(lambda number: f"HB-{number}")


def cases(started: bool) -> st.SearchStrategy[Case]:
    """Cases with any facts; ``started`` ones say what part and damage it is."""
    always = {name: answers(PACK.facts[name]) for name in STARTED if started}
    rest = {name: answers(decl) for name, decl in PACK.facts.items() if name not in always}
    facts = st.fixed_dictionaries(always, optional=rest)
    return st.builds(Case, name=names, facts=facts, earlier_repairs=repairs)
