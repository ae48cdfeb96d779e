"""The shipped pack and the demo cases, each advised once."""

from __future__ import annotations

from functools import lru_cache

from advisor.advice.advise import advise
from advisor.advice.result import Advice
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.paths import demo_folder, rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack


@lru_cache(maxsize=1)
def shipped() -> RulePack:
    """The shipped pack, no overlay."""
    return load_pack(rules_folder())


@lru_cache(maxsize=32)
def advised(name: str) -> tuple[Case, Advice]:
    """A demo case with its advice."""
    pack = shipped()
    case = read_case(demo_folder() / f"{name}.yaml", pack.facts, methods=pack.methods)
    return case, advise(case, pack, 512, flips=False)
