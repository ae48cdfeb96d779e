"""The verdict on hand-over papers as JSON: the documented form of ``papers handover --json``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from advisor.papers.handover.judge import JudgedPack
from advisor.papers.handover.page import NO_RELEASE, NO_STATION, said_of

FORMAT = 1


def handover_json(judged: JudgedPack, files: Sequence[str] = ()) -> dict[str, Any]:
    """The verdict as a plain dictionary; ``files`` are those that were written.

    Its shape is ``advisor/papers/handover/schema/handover-1.json``.
    """
    return {
        "format": FORMAT,
        "case": judged.record.case,
        "verdict": judged.verdict.value,
        "said": said_of(judged),
        "aircraft": judged.aircraft,
        "lacking": [
            {
                "kind": one.kind.value, "section": one.number, "field": one.field,
                "text": one.text, "who": one.who, "source": one.source, "status": one.status,
            }
            for one in judged.lacking
        ],
        "from_memory": judged.from_memory,
        "files": list(files),
        "not_an_approval": NO_RELEASE if judged.aircraft else NO_STATION,
    }  # fmt: skip
