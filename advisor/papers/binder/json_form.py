"""The binder as JSON: the documented form of ``papers binder --json``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from advisor.papers.binder.page import NOT_AN_APPROVAL
from advisor.papers.binder.self_check import AuditState, CheckedItem
from advisor.papers.binder.snapshot import Snapshot, changes, snapshot_of

FORMAT = 1


def binder_json(
    state: AuditState, items: Sequence[CheckedItem], last: Snapshot | None
) -> dict[str, Any]:
    """The self-check as a plain dictionary; ``changes`` is None where no binder was kept before.

    Its shape is ``advisor/papers/binder/schema/binder-1.json``.
    """
    return {
        "format": FORMAT,
        "since": state.since.isoformat(),
        "until": state.until.isoformat(),
        "items": [
            {
                "item": one.name, "area": one.area, "title": one.item.title,
                "state": one.state.value, "found": one.found, "closes": one.item.closes,
                "source": one.item.source, "status": one.item.status,
            }
            for one in items
        ],
        "jobs": [
            {"case": job.case, "called": job.called, "papers": job.judged.verdict.value,
             "in_hand": job.in_hand}
            for job in state.jobs
        ],
        "changes": None if last is None else changes(snapshot_of(state, items), last),
        "not_an_approval": NOT_AN_APPROVAL,
    }  # fmt: skip
