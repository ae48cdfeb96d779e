"""The page on hand-over papers must say what the program does."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

from advisor.papers.handover import record as records
from advisor.papers.handover.judge import PackVerdict, judge_pack
from advisor.papers.handover.record_file import handover_in

PAGE = (Path(__file__).parents[3] / "docs" / "hand-over.md").read_text(encoding="utf-8")


def test_the_example_lacks_nothing() -> None:
    (example,) = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)
    found = judge_pack(handover_in(example, "record.yaml"), "aircraft")
    assert found.verdict is PackVerdict.READY, [one.text for one in found.lacking]


def test_every_entry_word_and_verdict_is_told() -> None:
    told = set(re.findall(r"`([a-z_0-9]+)`", PAGE))
    models = (
        records.Station, records.Operator, records.Part, records.Method, records.Work,
        records.MaterialUsed, records.Certificate, records.Inspection, records.Open,
        records.AttachedFile, records.Advisory, records.HandoverRecord,
    )  # fmt: skip
    assert {name for model in models for name in model.model_fields} <= told
    assert set(get_args(records.Shown)) <= told
    assert set(get_args(records.OperatorRule)) <= set(re.findall(r"part_[0-9_]+", PAGE))
    for verdict in PackVerdict:
        assert f"| {verdict.value} |" in PAGE
