"""A force, a strength, a size or a price below nothing is refused; a temperature is not."""

from __future__ import annotations

import pytest

from advisor.rulegraph.model.nodes import Draw, TableDraw
from advisor.rulegraph.model.pack import RulePack
from tests.unit.rulegraph.spoiled import Spoiled

ARM = "lean_force: {low: 60, typical: 120, high: 220,"
PEEL = "title: Peel strength of contact cement\n    unit: N/mm\n    draw: {low: 0.9,"


@pytest.mark.parametrize(
    ("file", "old", "low", "accepted"),
    [
        ("parts/armrest.yaml", ARM, "-900", "0 N or more"),
        ("methods/adhesive_bond.yaml", PEEL, "-0.5", "0 N/mm or more"),
    ],
)
def test_a_figure_below_nothing(
    file: str, old: str, low: str, accepted: str, spoiled: Spoiled
) -> None:
    figure = old.rpartition("low: ")[2].rstrip(",").split(",")[0]
    head, _, tail = old.rpartition(f"low: {figure}")
    spoiled.edit(file, old, f"{head}low: {low}{tail}")
    fault, = spoiled.faults()
    assert fault.file.endswith(file) and fault.line > 0
    assert (fault.problem, fault.found, fault.accepted) == ("below 0", low, accepted)


def test_a_frosty_night_is_below_nothing(pack: RulePack) -> None:
    """The shipped pack has nights below 0 degC."""
    night = pack.nodes["place.night_minimum"]
    assert night.unit == "degC"
    assert isinstance(night.operation, Draw | TableDraw)
    lowest = night.operation.low if isinstance(night.operation, TableDraw) else [
        triple[0] for _, triple in night.operation.branches
    ]
    assert min(lowest) < 0.0
