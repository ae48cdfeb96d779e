"""A kept pack gives what the first question needs first, and all the rest when asked."""

from __future__ import annotations

import pickle
import subprocess
import sys
from dataclasses import fields
from pathlib import Path

import pytest

from advisor.facts.case import Case
from advisor.paths import rules_folder
from advisor.rulegraph.compiling.pack import build_pack
from advisor.rulegraph.kept_pack import packed, unpacked
from advisor.rulegraph.model.pack import FIRST, RulePack
from advisor.rulegraph.reading.read_pack import read_files

STARTED = """
import sys
from pathlib import Path
from advisor.facts.case import Case
from advisor.rulegraph.kept_pack import unpacked
pack = unpacked(Path(sys.argv[1]).read_bytes())
assert pack.asked(Case("QA-1"))
loaded = {name.rpartition(".")[2] for name in sys.modules if "rulegraph.model." in name}
assert not loaded & {"rules", "job", "plastics", "section", "roles", "quantities"}, loaded
assert "numpy" not in sys.modules and "advisor.mechanics" not in sys.modules
assert pack.methods["hand_stitch"].title and "numpy" not in sys.modules
"""


def test_the_first_question_opens_nothing_more(tmp_path: Path) -> None:
    """Of a pack that is kept as the program keeps it: as soon as it is compiled."""
    kept = tmp_path / "pack"
    kept.write_bytes(packed(build_pack(read_files(rules_folder(), None))))
    root = Path(__file__).parents[3]
    subprocess.run([sys.executable, "-c", STARTED, str(kept)], check=True, cwd=root)


def test_a_kept_pack_is_the_pack(pack: RulePack) -> None:
    found = unpacked(packed(pack))
    case = Case("QA-1", facts={"part.kind": ("armrest",), "vehicle.kind": ("bus",)})
    assert found.asked(case) == pack.asked(case)
    assert "methods" not in vars(found)
    for name in ("facts", "order", "edges", "sites", "prices", "sources", "parts", "order"):
        assert getattr(found, name) == getattr(pack, name), name
    assert list(found.methods) == list(pack.methods) and list(found.nodes) == list(pack.nodes)
    assert set(FIRST) < {field.name for field in fields(pack)}


def test_what_both_parts_ask_is_still_one_condition(pack: RulePack) -> None:
    """What a condition gives in the simulated cases is kept by the object."""
    whole = pickle.loads(pickle.dumps(pack))
    halves = unpacked(packed(pack))
    assert _conditions(halves) == _conditions(whole) > 100


def _conditions(pack: RulePack) -> int:
    """How many objects stand for all conditions of gates, facts, needs and requirements."""
    found = [gate.closed_when for gate in pack.gates.values()]
    found += [rule.asked_when for rule in pack.fact_rules.values() if rule.asked_when is not None]
    found += [need.when for need in pack.needs.values()]
    for method in pack.methods.values():
        found += [requirement.condition for requirement in method.requirements]
        found += [step.when for step in method.steps if step.when is not None]
    return len({id(condition) for condition in found})


def test_a_kept_pack_travels_to_a_worker_before_and_after_it_is_opened(pack: RulePack) -> None:
    kept = unpacked(packed(pack))
    before = pickle.loads(pickle.dumps(kept))
    assert list(before.methods) == list(pack.methods)
    assert list(kept.methods) == list(pack.methods)
    assert list(pickle.loads(pickle.dumps(kept)).nodes) == list(pack.nodes)


def test_a_name_there_is_not_is_an_error(pack: RulePack) -> None:
    kept = unpacked(packed(pack))
    with pytest.raises(AttributeError, match="a rule pack has no metods"):
        _ = kept.metods
    assert not hasattr(pack, "metods")
