"""Quantities that fit the part and what is done to it (common practice, no source)."""

from __future__ import annotations

from typing import Any

from advisor.advice.advise import advise
from advisor.facts.case import Case, Span
from advisor.job.model import JobSheet
from advisor.job.sheet import job_sheet
from tests.field.gates import with_other_gates_cleared
from tests.unit.job.demo_jobs import shipped


def sheet(part: str, vehicle: str, damage: str, **facts: Any) -> JobSheet:
    given: dict[str, Any] = {"part.kind": (part,), "vehicle.kind": (vehicle,),
                             "damage.kind": (damage,)}  # fmt: skip
    for key, value in facts.items():
        if isinstance(value, str):
            value = (value,)
        elif isinstance(value, int) and not isinstance(value, bool):
            value = Span(float(value), float(value))
        given[key.replace("__", ".")] = value
    case = with_other_gates_cleared(Case("HB-7", facts=given), shipped())
    return job_sheet(case, shipped(), advise(case, shipped(), 512, flips=False))


def amounts(found: JobSheet) -> dict[str, float]:
    return {a.key: a.value.typical for group in found.groups for a in group.amounts}


def test_a_strip_behind_a_crack_takes_no_contact_cement() -> None:
    found = sheet("rigid_trim", "boat", "carrier_crack", carrier__material="plywood",
                  damage__length=100, damage__count=1, access__back="free",
                  damage__at_load_point=False, damage__cracked_by="blow")  # fmt: skip
    assert found.lead == "backing_patch.strip"
    here = amounts(found)
    assert "cement" not in here and here["strip_length"] == 150.0
    assert not any("cement" in material.what for material in found.materials)
    assert any("Epoxy" in wait.title for wait in found.waits)


def test_a_patch_sewn_on_takes_thread_for_two_rows() -> None:
    found = sheet("boat_canopy", "boat", "tear", skin__material="roof_canvas",
                  skin__feel="supple", damage__length=100, damage__count=1,
                  damage__margin=80, access__back="free")  # fmt: skip
    assert found.lead == "backing_patch.sewn"
    here = amounts(found)
    # 150 x 50 mm and a row round the tear: 400 + 200 mm, the size of the patch by its overlap.
    assert 0.5 < here["sewn_length"] < 0.7
    assert 2.5 < here["thread_total"] / here["sewn_length"] < 8.0
    assert "cement" not in here


def test_one_new_panel_is_no_whole_cover() -> None:
    facts = {"skin__material": "leather", "skin__feel": "supple", "damage__count": 1,
             "core__state": "springs_back", "access__back": "comes_off"}  # fmt: skip
    one = sheet("seat_cushion", "car", "hole", damage__length=120, **facts)
    assert one.lead == "recover_panel.one_panel"
    assert one.cut is not None and len(one.cut.panels) == 1 and one.cut.panels[0].count == 1
    assert one.cut.hides is not None and one.cut.hides.sold_as == "a cut piece"
    assert one.deposit is not None
    facts["skin__feel"] = "brittle"
    whole = sheet("seat_cushion", "car", "hole", damage__length=900, **facts)
    assert whole.lead == "recover_panel" and whole.cut is not None
    assert any(choice.key == "re_cover" for choice in one.choices)


def test_no_rigid_foam_in_a_seat() -> None:
    seat = sheet("seat_cushion", "car", "core_collapsed", core__state="hollow")
    arm = sheet("armrest", "bus", "core_collapsed", core__state="hollow")
    assert seat.lead == arm.lead == "foam_backfill"
    assert {"cans", "mix_liquid"} <= set(amounts(arm))
    assert not {"cans", "mix_liquid"} & set(amounts(seat)) and "pad_length" in amounts(seat)


def test_a_new_cover_is_of_the_size_of_its_part() -> None:
    """An instrument panel is as wide as the cabin, a rim as long as its girth: pi times 370 mm."""
    dash = sheet("dash_pad", "car", "shrunk_short", part__available=False)
    assert dash.cut is not None and max(p.length for p in dash.cut.panels) > 1100
    rim = sheet("steering_wheel_rim", "car", "skin_crack", skin__material="leather")
    assert rim.cut is not None and abs(rim.cut.panels[0].length - 3.1416 * 370) < 60


def test_a_boot_is_sewn_new_without_what_only_a_seat_has() -> None:
    found = sheet("gaiter", "car", "skin_crack", skin__material="leather", skin__feel="stiff",
                  damage__length=60, damage__count=3, part__available=False,
                  damage__edges_meet=True)  # fmt: skip
    assert found.lead == "recover_panel.gaiter"
    steps = " ".join(step.text for step in found.steps).lower()
    assert "lever" in steps and "frame" in steps
    assert not any(word in steps for word in ("cover", "hog", "middle", "padding"))


def test_an_open_seam_in_a_supple_boot_is_sewn_again() -> None:
    found = sheet("gaiter", "car", "seam_open", skin__material="leather", skin__feel="supple",
                  damage__length=60, damage__count=1, damage__hole_state="intact",
                  damage__edges_meet=True)  # fmt: skip
    assert found.lead is not None and found.lead.startswith(("hand_stitch", "machine_restitch"))
