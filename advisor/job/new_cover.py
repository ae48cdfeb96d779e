"""Material for a new cover, from what is known of its panels."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from advisor.facts.case import PART
from advisor.job.cutting.hides import cut_from_hides
from advisor.job.cutting.layout import DoesNotFitError
from advisor.job.cutting.yardage import Cutting, Panel, Roll, cut_from_roll
from advisor.job.model import CutPlan
from advisor.job.sample import Sample
from advisor.wording.phrases import read_phrase


def cut_plan(sample: Sample, *, one_panel: bool = False) -> CutPlan | None:
    """Panels of all equal parts laid on a roll or on leather; None where none are known.

    The panels given go first; else those usual for the part, at their typical size; of one
    panel the largest of them, since nobody has said which it is.
    """
    rules, wishes = sample.rules, sample.wishes
    cover = sample.listed(sample.worlds.pack.roles.skin, rules.covers)
    panels = wishes.panels or (_largest(sample) if one_panel else _usual(sample))
    if cover is None or not panels:
        return None
    parts = round(float(np.median(sample.role("part_count"))))
    panels = tuple(replace(panel, count=panel.count * parts) for panel in panels)
    assumed = wishes.panels is None
    note = "Usual sizes of such a part, not measured: measure before you buy" if assumed else ""
    if assumed and one_panel:
        note = "Its largest usual panel, not measured: measure yours before you buy"
    own = [rule.allowance for rule in sample.listed(PART, rules.panels) or () if rule.allowance]
    allowance = (own[0] if own else rules.values["seam_allowance"]).typical
    if cover.form == "hide":
        hides = cut_from_hides(
            panels,
            allowance=allowance,
            loss=rules.values["hide_loss"].typical,
            hide_area=rules.values["hide_area"].typical,
            cut_piece=rules.values["hide_cut_piece"].typical,
            hide_length=rules.values["hide_length"].typical,
            hide_width=rules.values["hide_width"].typical,
        )
        return CutPlan(cover.title, assumed, panels, (), hides, note, False, 0.0, allowance)
    roll = Roll(
        width=rules.values["roll_width"].typical if wishes.roll is None else wishes.roll,
        edge=rules.values["roll_edge"].typical,
        reserve=rules.values["cutting_reserve"].typical,
        repeat=rules.values["pattern_repeat"].typical if wishes.repeat is None else wishes.repeat,
        nap=cover.nap if wishes.nap is None else wishes.nap,
    )
    cuttings: tuple[Cutting, ...] = ()
    try:
        cuttings = cut_from_roll(panels, allowance, roll)
    except (DoesNotFitError, ValueError) as error:
        note = read_phrase(f"{error}.")
    return CutPlan(
        cover.title, assumed, panels, cuttings, None, note, roll.nap, roll.width, allowance
    )


def _largest(sample: Sample) -> tuple[Panel, ...]:
    panels = _usual(sample)
    # A strip that may be joined, such as a skirt, is no face of the part.
    faces = [panel for panel in panels if not panel.may_join] or panels
    return (replace(max(faces, key=lambda panel: panel.length * panel.width), count=1),)


def _usual(sample: Sample) -> tuple[Panel, ...]:
    rules = sample.rules
    listed = sample.listed(PART, rules.panels)
    if listed:
        return tuple(
            Panel(p.title, p.length.typical, p.width.typical, p.count, p.may_join)
            for p in listed
        )
    length = rules.values["panel_length"].typical
    return (Panel("Cover", length, rules.values["panel_width"].typical),)
