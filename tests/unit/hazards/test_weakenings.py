"""Every change that weakens a hazard is found, and none that does not.

The changes stand in ``weakenings.py``; the check knows nothing of them.
"""

from __future__ import annotations

from collections import Counter

import pytest

from tests.unit.hazards.held import ShippedFiles
from tests.unit.hazards.weakenings import Change, harmless, weakenings


@pytest.fixture(scope="module")
def shipped() -> ShippedFiles:
    return ShippedFiles()


def test_the_shipped_hazards_are_whole(shipped: ShippedFiles) -> None:
    assert shipped.faults(shipped.data) == []


def test_every_weakening_is_found(shipped: ShippedFiles) -> None:
    kinds: Counter[str] = Counter()
    missed: list[str] = []
    for change in weakenings(shipped.data):
        kinds[change.kind] += 1
        if not shipped.faults(change.made(shipped.data)):
            missed.append(change.name)
    assert not missed, f"{len(missed)} of {kinds.total()}: {missed[:40]}"
    assert kinds.total() > 5000 and len(kinds) > 30


def test_what_is_harmless_raises_nothing(shipped: ShippedFiles) -> None:
    changes: list[Change] = list(harmless(shipped.data))
    raised = {
        change.name: [fault.text for fault in faults]
        for change in changes
        if (faults := shipped.faults(change.made(shipped.data)))
    }
    assert raised == {}
    assert len(changes) >= 50
