"""A shop's own folder: what it may change, and that the change is seen."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from advisor.advice.advise import advise
from advisor.facts.case import Case
from advisor.facts.faults import BadInput
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack

LACED = """
method: lace_over
title: Lace over the split
meets: [close]
nodes:
  lace: {title: What the lace carries, unit: N/mm, draw: {low: 2, typical: 4, high: 6}, source: shop, status: estimate}
possible_when:
  - when: {fact: damage.kind, is: seam_open}
    if_not: There is no split seam
    source: shop
    status: common_practice
joints:
  - meets: [close]
    site: skin
    modes:
      lace: {title: The lace breaks, capacity: lace, sustained: 0.5, cyclic: 0.4, source: shop, status: estimate}
reliability: {low: 0.9, typical: 0.95, high: 0.99, source: shop, status: estimate}
order: 41
looks: visible
work:
  - {what: Lace, minutes: {low: 5, typical: 10, high: 15, source: shop, status: estimate}}
steps:
  - {text: Lace it up., cautions: [needles]}
"""  # noqa: E501
CASE = Case(
    "HB-7",
    facts={"part.kind": ("armrest",), "vehicle.kind": ("bus",), "damage.kind": ("seam_open",)},
)
Put = Callable[[str, str], None]


@pytest.fixture
def overlay(tmp_path: Path) -> Path:
    folder = tmp_path / "own"
    folder.mkdir()
    return folder


@pytest.fixture
def put(overlay: Path) -> Put:
    def write(name: str, text: str) -> None:
        path = overlay / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")

    return write


def shipped(name: str) -> str:
    return (rules_folder() / name).read_text(encoding="utf-8")


def load(overlay: Path) -> RulePack:
    return load_pack(rules_folder(), overlay)


def test_empty_overlay_changes_nothing(overlay: Path, pack: RulePack) -> None:
    own = load(overlay)
    assert (own.own.files, own.digest) == ((), pack.digest)


def test_a_method_of_the_shop(overlay: Path, put: Put, pack: RulePack) -> None:
    put("methods/lace_over.yaml", LACED)
    put("sources.yaml", shipped("sources.yaml") + 'shop: {title: "Our own trials"}\n')
    own = load(overlay)
    assert own.own.files == ("methods/lace_over.yaml", "sources.yaml")
    assert own.digest != pack.digest
    assert set(own.methods) - set(pack.methods) == {"lace_over"}
    advice = advise(CASE, own, 256, flips=False)
    assert advice.rules_digest == own.digest
    laced = next(method for method in advice.methods if method.method == "lace_over")
    assert laced.because[0].source is not None and laced.because[0].source.title == "Our own trials"


def test_prices_of_the_shop(overlay: Path, put: Put, pack: RulePack) -> None:
    text = shipped("prices.yaml").replace("currency: EUR", "currency: USD")
    text = text.replace("hourly_rate: {low: 55, typical: 70, high: 90",
                        "hourly_rate: {low: 110, typical: 140, high: 180")  # fmt: skip
    put("prices.yaml", text)
    own = load(overlay)
    assert own.own.files == ("prices.yaml",)
    assert own.prices.hourly_rate.mean == 2 * pack.prices.hourly_rate.mean
    none = {"gate.airbag": ("none",), "gate.contamination": ("none",)}
    cleared = replace(CASE, facts={**CASE.facts, **none, "gate.energy_absorber": False})
    dear, cheap = (advise(cleared, rules, 256, flips=False) for rules in (own, pack))
    assert (dear.currency, cheap.currency) == ("USD", "EUR")
    assert dear.plan is not None and cheap.plan is not None
    assert dear.plan.price is not None and cheap.plan.price is not None
    assert dear.plan.price.typical > 1.5 * cheap.plan.price.typical


def test_a_skin_of_the_shop(overlay: Path, put: Put) -> None:
    """A new option of a choice needs a row in the table that is keyed by it."""
    facts = shipped("facts/1_part.yaml").replace(
        "    vinyl_backed:\n", "    oilcloth: {title: Oilcloth}\n    vinyl_backed:\n", 1
    )  # fmt: skip
    put("facts/1_part.yaml", facts)
    with pytest.raises(BadInput) as caught:
        load(overlay)
    assert {f.problem for f in caught.value.faults} >= {"no thickness for oilcloth"}
    rows = shipped("materials/skins.yaml")
    cloth = rows[rows.index("  cloth_woven:") : rows.index("  cloth_knit:")]
    put("materials/skins.yaml", rows + "\n" + cloth.replace("cloth_woven", "oilcloth"))
    own = load(overlay)
    told = CASE.with_fact("skin.material", ("oilcloth",))
    assert own.facts["skin.material"].option("oilcloth").title == "Oilcloth"
    assert advise(told, own, 256, flips=False).methods


def test_fault_in_the_overlay_names_the_overlay(overlay: Path, put: Put) -> None:
    put("methods/lace_over.yaml", LACED.lstrip().replace("site: skin", "site: skim"))
    with pytest.raises(BadInput) as caught:
        load(overlay)
    places = {(f.file, f.line, f.column) for f in caught.value.faults if f.nearest == "skin"}
    assert places == {(str(overlay / "methods/lace_over.yaml"), 13, 11)}


def test_digest_follows_the_overlay(overlay: Path, put: Put) -> None:
    put("prices.yaml", shipped("prices.yaml"))
    first = load(overlay).digest
    put("prices.yaml", shipped("prices.yaml") + "# seen\n")
    second = load(overlay).digest
    shutil.rmtree(overlay)
    assert load(overlay).digest == first != second


def locked(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    """Let ``folder`` be one that this user may not look into, a superuser too."""
    whole = os.scandir

    def guarded(path: object = ".") -> object:
        if str(path) == str(folder):
            raise PermissionError(13, "Permission denied", str(folder))
        return whole(path)  # type: ignore[call-overload]

    monkeypatch.setattr(os, "scandir", guarded)


@pytest.mark.parametrize("name", ["", "methods"])
def test_own_rules_that_cannot_be_read_are_not_left_out(
    name: str, overlay: Path, put: Put, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without them the shop's own gates would be missing, and nobody would know."""
    put("methods/lace_over.yaml", LACED)
    locked(monkeypatch, overlay / name)
    with pytest.raises(BadInput) as caught:
        load(overlay)
    (fault,) = caught.value.faults
    assert fault.file == str(overlay / name)
    assert fault.problem == "this folder cannot be read: Permission denied"


def test_own_rules_that_are_no_folder(overlay: Path) -> None:
    overlay.rmdir()
    overlay.write_text("prices", encoding="utf-8")
    with pytest.raises(BadInput, match="not a folder; accepted: a folder with your own rules"):
        load(overlay)
    overlay.unlink()
    overlay.symlink_to("nowhere")
    with pytest.raises(BadInput, match="not a folder"):
        load(overlay)


def test_a_linked_folder_of_own_rules_is_read(overlay: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "lace_over.yaml").write_text(
        LACED.replace("source: shop", "source: practice"), encoding="utf-8"
    )
    (elsewhere / "again").symlink_to(elsewhere)
    (overlay / "methods").symlink_to(elsewhere)
    assert "lace_over" in load(overlay).methods


def test_a_number_alone_shows_how_a_figure_is_written(overlay: Path, put: Put) -> None:
    text = re.sub(r"^hourly_rate:.*$", "hourly_rate: 55", shipped("prices.yaml"), flags=re.M)
    put("prices.yaml", text)
    with pytest.raises(BadInput) as caught:
        load(overlay)
    (fault,) = caught.value.faults
    assert fault.text.endswith(
        'hourly_rate: one number is not enough here; found "55"; accepted: '
        "such as {value: 55, source: practice, status: common_practice}"
    )


def test_a_figure_beyond_all_measure_is_refused(overlay: Path, put: Put) -> None:
    """It would overflow in the middle of a case."""
    wrong = "hourly_rate: {value: 1.0e+308, source: practice, status: common_practice}"
    text = re.sub(r"^hourly_rate:.*$", wrong, shipped("prices.yaml"), flags=re.M)
    put("prices.yaml", text)
    with pytest.raises(BadInput) as caught:
        load(overlay)
    (fault,) = caught.value.faults
    assert fault.field == "hourly_rate.value"
    assert fault.text.endswith("outside the range; found \"1.0e+308\"; accepted: at most 1e+12")
