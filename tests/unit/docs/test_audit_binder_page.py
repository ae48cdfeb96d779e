"""The page on the audit binder must say what the program does."""

from __future__ import annotations

import re
from pathlib import Path

from advisor.papers.binder import shop_record as records
from advisor.papers.binder.self_check import self_check
from advisor.papers.yaml_record import record_in

PAGE = (Path(__file__).parents[3] / "docs" / "audit-binder.md").read_text(encoding="utf-8")


def test_the_example_can_be_read() -> None:
    (example,) = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)
    record = record_in(example, "shop.yaml", records.ShopRecord)
    assert record.trainings and record.tools and record.agreements
    assert record.deviations and record.answers


def test_every_entry_and_every_item_that_is_answered_by_hand_is_told() -> None:
    told = set(re.findall(r"`([a-z_.]+)`", PAGE))
    models = (records.Training, records.Tool, records.Agreement, records.Deviation,
              records.Answer, records.ShopRecord)  # fmt: skip
    assert {name for model in models for name in model.model_fields} - {"format"} <= told
    assert {n for n, item in self_check().items.items() if item.found == "hand"} <= told
    for title in self_check().areas.values():
        assert title.lower() in PAGE.replace("\n", " ").lower()
