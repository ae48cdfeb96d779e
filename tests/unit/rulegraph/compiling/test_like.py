"""An option that is a kind of another: rules mean it too, and it inherits what it leaves out."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Kind, Option, Stage
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from tests.unit.rulegraph.spoiled import Spoiled

ARMREST = "    armrest:\n      title: Armrest\n"
LEATHER = "    leather: {title: Leather"


def added(spoiled: Spoiled, before: str, line: str) -> None:
    spoiled.edit("facts/", before, f"    {line}\n{before}")


@pytest.fixture
def pack(spoiled: Spoiled) -> RulePack:
    added(spoiled, ARMREST, "jump_rest: {title: Jump rest, like: armrest}")
    added(spoiled, LEATHER, "hide_thick: {title: Thick hide, like: leather}")
    rows = "rows:\n  vinyl_moulded:\n    thickness"
    spoiled.edit("materials/skins.yaml", rows, (
        "rows:\n  hide_thick:\n    thickness: "
        "{low: 3, typical: 4, high: 5, source: estimate, status: estimate}\n"
        "  vinyl_moulded:\n    thickness"
    ))  # fmt: skip
    return load_pack(spoiled.folder)


def case(part: str, skin: str) -> Case:
    return Case("HB-1", facts={
        "part.kind": (part,), "vehicle.kind": ("bus",), "damage.kind": ("seam_open",),
        "skin.material": (skin,),
    })  # fmt: skip


def hazards_of(pack: RulePack, part: str) -> set[tuple[str, str]]:
    """Every hazard with a vehicle in which this part calls for it."""
    return {
        (key, vehicle)
        for key, gate in pack.gates.items()
        for asked, vehicle in gate.asked_for
        if asked == part
    }


def test_line_and_kinds_of_a_declaration() -> None:
    options = (Option("a", "A"), Option("b", "B", like="a"), Option("c", "C", like="b"))
    decl = FactDecl("x", Kind.CHOICE, Stage.PART, "X", "?", "", options)
    assert decl.line("c") == ("c", "b", "a")
    assert decl.kinds_of("a") == ("a", "b", "c")
    assert decl.kinds_of("c") == ("c",)


def test_a_part_inherits_gates_values_priors_and_bounds(pack: RulePack) -> None:
    assert hazards_of(pack, "jump_rest") == hazards_of(pack, "armrest") != set()
    assert pack.facts["damage.length"].high_by["jump_rest"] == 900
    assert pack.parts["jump_rest"] == "Jump rest"
    ours = SampledWorlds(case("jump_rest", "vinyl_backed"), pack, 256, seed=3)
    theirs = SampledWorlds(case("armrest", "vinyl_backed"), pack, 256, seed=3)
    for name in ("part.lean_force", "part.recover_minutes", "core.thickness"):
        assert np.array_equal(ours.values[name], theirs.values[name]), name


def test_a_material_counts_as_its_kind_and_keeps_its_own_figures(pack: RulePack) -> None:
    ours = SampledWorlds(case("armrest", "hide_thick"), pack, 256, seed=3)
    theirs = SampledWorlds(case("armrest", "leather"), pack, 256, seed=3)
    assert ours.values["skin.thickness"].min() >= 3.0
    assert np.array_equal(ours.values["skin.shrinkage"], theirs.values["skin.shrinkage"])
    assert np.array_equal(
        ours.values["skin.new_hole_strength"], theirs.values["skin.new_hole_strength"]
    )


@pytest.mark.parametrize(
    ("line", "problem"),
    [
        ("jump_rest: {title: Jump rest, like: armrst}", "no such option"),
        ("jump_rest: {title: Jump rest, like: jump_rest}", "kinds of each other in a circle"),
        (
            "jump_rest: {title: Jump rest}",
            "no file in parts/ says which hazards (gates) this part has",
        ),
    ],
)
def test_a_kind_of_nothing_is_refused(line: str, problem: str, spoiled: Spoiled) -> None:
    added(spoiled, ARMREST, line)
    (fault,) = spoiled.faults()
    assert problem in fault.problem
    assert fault.line and fault.column


def test_a_fact_declared_in_two_files_is_refused(spoiled: Spoiled) -> None:
    text = (spoiled.folder / "facts/5_job.yaml").read_text(encoding="utf-8")
    (spoiled.folder / "facts/6_more.yaml").write_text(text, encoding="utf-8")
    faults = spoiled.faults()
    assert {fault.problem for fault in faults} == {"declared in facts/5_job.yaml already"}
