"""Material for a new cover, from what is known of its panels."""

from __future__ import annotations

from advisor.facts.case import PART
from advisor.job.cutting.hides import cut_from_hides
from advisor.job.cutting.layout import DoesNotFitError
from advisor.job.cutting.yardage import Cutting, Panel, Roll, cut_from_roll
from advisor.job.model import CutPlan
from advisor.job.sample import Sample
from advisor.wording.phrases import read_phrase


def cut_plan(sample: Sample) -> CutPlan | None:
    """Panels of the part laid on a roll or counted in hides; None where none are known.

    The panels given go first; else those usual for the part, at their typical size.
    """
    rules, wishes = sample.rules, sample.wishes
    cover = sample.listed(sample.worlds.pack.roles.skin, rules.covers)
    panels = wishes.panels or _usual(sample)
    if cover is None or not panels:
        return None
    assumed = wishes.panels is None
    note = "Usual sizes of such a part, not measured: measure before you buy" if assumed else ""
    allowance = rules.values["seam_allowance"].typical
    if cover.form == "hide":
        hides = cut_from_hides(
            panels,
            allowance=allowance,
            loss=rules.values["hide_loss"].typical,
            hide_area=rules.values["hide_area"].typical,
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
