"""A method, a part and a material that stand in YAML alone, seen in every room.

Own rules of a shop in `own_rules`; the figures in them are examples without a source.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor import api
from advisor.advice.result import Advice
from advisor.drawing.section_geometry import draw
from advisor.drawing.section_layers import layers_of
from advisor.facts.case import Case
from advisor.job.model import JobSheet
from advisor.job.sheet import together
from advisor.paths import rules_folder
from advisor.report.json_forms.job import job_json
from advisor.report.quote import write_quote
from advisor.rulegraph.compiling.pack import build_pack
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.reading.read_pack import read_files

OWN = Path(__file__).parent / "own_rules"


def put_in(into: dict[str, Any], addition: dict[str, Any]) -> None:
    """Add entries where no entry is yet."""
    for key, value in addition.items():
        if key in into:
            put_in(into[key], value)
        else:
            into[key] = value


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> RulePack:
    """The shipped rules with the shop's folder, from files alone."""
    folder = tmp_path_factory.mktemp("own")
    for name in ("methods", "parts"):
        shutil.copytree(OWN / name, folder / name)
    for name, addition in yaml.safe_load((OWN / "additions.yml").read_text("utf-8")).items():
        data = yaml.safe_load((rules_folder() / name).read_text("utf-8"))
        put_in(data, addition)
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(yaml.safe_dump(data, sort_keys=False), "utf-8")
    return build_pack(read_files(rules_folder(), folder))


@pytest.fixture(scope="module")
def case(own: RulePack) -> Case:
    facts: dict[str, object] = {
        "vehicle.kind": "bus", "part.kind": "grab_pad", "damage.kind": "tear",
        "damage.length": "80 mm", "damage.count": "1", "damage.gap": "2 mm",
        "skin.material": "neoprene", "core.material": "foam_soft", "core.thickness": "10 mm",
        "core.state": "springs_back", "damage.margin": "30 mm", "access.back": "free",
    }  # fmt: skip
    # No hazard names the part, so that it is asked about all of them.
    hazards = (own.facts[gate.fact] for gate in own.gates.values())
    cleared = {decl.name: "none" if decl.options else False for decl in hazards}
    return api.build_case("HB-2077", own, facts | cleared)


@pytest.fixture(scope="module")
def advice(case: Case, own: RulePack) -> Advice:
    return api.advise(case, own)


@pytest.fixture(scope="module")
def sheet(case: Case, own: RulePack, advice: Advice) -> JobSheet:
    return api.job_sheet(case, own, advice)


def test_the_advice_names_method_part_and_material(advice: Advice) -> None:
    assert advice.plan is not None and advice.plan.lead == "mesh_darn"
    told = {state.fact: state.text for state in advice.facts}
    assert told["part.kind"] == "Grab-handle pad"
    assert told["skin.material"] == "Neoprene"


def test_the_job_sheet_has_its_quantities_tips_waits_and_years(sheet: JobSheet) -> None:
    group = next(group for group in sheet.groups if group.method == "mesh_darn")
    amounts = {amount.key: amount for amount in group.amounts}
    # Twice the overlap of 20 to 25 mm beside 80 mm and beside the opening the method sets.
    assert 120.0 <= amounts["patch_length"].value.typical <= 130.0
    assert 52.0 <= amounts["patch_width"].value.typical <= 62.0
    assert {"thread", "needle"} <= set(amounts)
    assert group.tips == ("Pull no stitch so tight that the mesh folds.",)
    assert [wait.title for wait in sheet.waits] == ["Tacking glue grips"]
    assert [c.years.typical for c in sheet.choices if c.key == "repair"] == [6.0]
    assert sheet.part == "Grab-handle pad"


def test_a_new_cover_is_cut_from_the_panels_of_the_part(case: Case, own: RulePack) -> None:
    from advisor.advice.sampling.worlds import SampledWorlds
    from advisor.job.measured_and_agreed import Wishes
    from advisor.job.new_cover import cut_plan
    from advisor.job.sample import Sample

    plan = cut_plan(Sample(SampledWorlds(case, own, 256), Wishes()))
    assert plan is not None
    assert plan.skin == "Neoprene"
    assert [(p.title, p.length, p.width) for p in plan.panels] == [("Sleeve", 310.0, 95.0)]


def test_the_section_is_drawn_as_the_part_says(advice: Advice, own: RulePack) -> None:
    layers = layers_of(advice, own)
    assert (layers.radius, layers.base, layers.foam) == (25.0, "tube", 10.0)
    # Its material has a thickness in the table, drawn from there.
    assert layers.skin is not None and 2.0 <= layers.skin <= 4.0
    notes = [note.text.removesuffix(" *") for note in draw(layers, 520, 300, 90).notes]
    assert notes == ["skin", "padding", "tube"]


@pytest.mark.parametrize("suffix", [".txt", ".html", ".pdf"])
def test_rationale_and_quote_are_written(
    suffix: str, advice: Advice, case: Case, sheet: JobSheet, own: RulePack, tmp_path: Path
) -> None:
    rationale, quote = tmp_path / f"rationale{suffix}", tmp_path / f"quote{suffix}"
    api.write_rationale(advice, case, rationale)
    write_quote(together([sheet], own), quote, annex=True)
    if suffix == ".pdf":
        assert all(file.read_bytes().startswith(b"%PDF") for file in (rationale, quote))
        return
    written = [" ".join(file.read_text("utf-8").split()) for file in (rationale, quote)]
    assert all("Darn it over a mesh" in text for text in written)
    assert "Neoprene" in written[0] and "Grab-handle pad" in written[0]
    assert "Patch, width" in written[1] and "Darning needle" in written[1]


def test_the_json_of_the_job_holds_it(sheet: JobSheet, own: RulePack) -> None:
    form = str(job_json(together([sheet], own)))
    assert "mesh_darn" in form and "patch_width" in form
