"""job.yaml and the quote part of prices.yaml: every fault with its place, all at once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from advisor.facts.faults import BadInput
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    return Path(shutil.copytree(rules_folder(), tmp_path / "rules"))


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


def faults(rules: Path) -> list[str]:
    with pytest.raises(BadInput) as caught:
        load_pack(rules)
    return [fault.text for fault in caught.value.faults]


def test_a_figure_in_the_wrong_unit_is_told(rules: Path) -> None:
    change(rules / "job.yaml", "unit: mm/min", "unit: mm")
    (fault,) = faults(rules)
    assert "values.weld_speed.unit" in fault
    assert "mm/min" in fault


def test_all_faults_come_at_once_with_the_nearest_name(rules: Path) -> None:
    change(rules / "job.yaml", "\n  bridge:", "\n  brigde:")
    change(rules / "job.yaml", "source: needle_sheet", "source: needle_sheat")
    change(rules / "job.yaml", "\n  pvc_u:", "\n  pvc_x:")
    change(rules / "prices.yaml", "what: New part or board", "what: New part or bord")
    found = "\n".join(faults(rules))
    for said in ("brigde", "bridge is missing", "needle_sheat", "pvc_x",
                 "no method uses this material"):
        assert said in found, said
    assert "job.yaml:" in found
    assert "New part or board" in found


def test_the_last_thread_has_no_condition(rules: Path) -> None:
    text = (rules / "job.yaml").read_text("utf-8")
    head, _, tail = text.partition("  polyester_tex_70:")
    _, _, rest = tail.partition("\npoints:")
    (rules / "job.yaml").write_text(f"{head}\npoints:{rest}", "utf-8")
    assert any("the last of threads has no condition" in fault for fault in faults(rules))


def test_a_shop_without_a_quote_part_still_loads(rules: Path, tmp_path: Path) -> None:
    overlay = tmp_path / "own"
    overlay.mkdir()
    text = (rules / "prices.yaml").read_text("utf-8")
    start, end = text.index("quote:"), text.index("note: Example figures")
    (overlay / "prices.yaml").write_text(text[:start] + text[end:], "utf-8")
    pack = load_pack(rules, overlay)
    assert not pack.prices.quote.examples
    assert pack.prices.quote.certainty == 0.8
