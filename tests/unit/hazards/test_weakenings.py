"""Every change that weakens a hazard is found, and none that does not.

The changes stand in ``weakenings.py``; the check knows nothing of them.
"""

from __future__ import annotations

import pytest

from advisor.rulegraph.compiling.required_hazards import required_hazards
from tests.unit.hazards.held import ShippedFiles
from tests.unit.hazards.weakenings import Change, harmless, likened, weakenings_of


@pytest.fixture(scope="module")
def shipped() -> ShippedFiles:
    return ShippedFiles()


def test_the_shipped_hazards_are_whole(shipped: ShippedFiles) -> None:
    assert shipped.faults(shipped.data) == []


@pytest.mark.slow
@pytest.mark.parametrize("hazard", sorted(required_hazards().hazards))
def test_every_weakening_of_a_hazard_is_found(shipped: ShippedFiles, hazard: str) -> None:
    changes = list(weakenings_of(shipped.data, hazard))
    missed = [one.name for one in changes if not shipped.faults(one.made(shipped.data))]
    assert not missed, f"{len(missed)} of {len(changes)}: {missed[:40]}"
    # Some 360 for a hazard; one asked with yes or no has fewer kinds.
    assert len(changes) > 150 and len({one.kind for one in changes}) > 20


def test_no_part_loses_a_hazard_by_what_it_is_like(shipped: ShippedFiles) -> None:
    changes = list(likened(shipped.data))
    assert [one.name for one in changes if not shipped.faults(one.made(shipped.data))] == []
    assert len(changes) > 50


def test_what_is_harmless_raises_nothing(shipped: ShippedFiles) -> None:
    changes: list[Change] = list(harmless(shipped.data))
    raised = {
        change.name: [fault.text for fault in faults]
        for change in changes
        if (faults := shipped.faults(change.made(shipped.data)))
    }
    assert raised == {}
    assert len(changes) >= 50
