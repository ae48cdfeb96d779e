"""Stitches, thread and needle of a sewn repair, with the sound bridge between two splits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.job.amount import Amount
from advisor.job.new_cover import cut_plan
from advisor.job.quantities import sewing
from advisor.job.quantities.filling import patch_side
from advisor.job.quantities.inputs import Inputs
from advisor.job.sample import Sample, said
from advisor.rulegraph.model.nodes import Array


def thread_and_needle(sample: Sample, _: Inputs) -> list[Amount]:
    """Thread and needle for the place and the skin."""
    rules = sample.rules
    thread = next(rule for rule in rules.threads if sample.applies(rule.when))
    point = next(rule for rule in rules.points if sample.applies(rule.when))
    strength = thread.strength
    return [
        said("thread", "Thread", thread.title, strength.source, strength.status, thread.why),
        sample.given("thread_strength", strength, "force", "Thread breaks at, straight pull"),
        sample.given("needle", thread.needle, "number", "Needle, metric size (number)"),
        said("needle_point", "Needle point", point.title, point.source, point.status, point.why),
    ]


#: Several splits in one seam, by the sound seam between them.
ORDERS = {
    "open": "Measure the sound bridge between them first",
    "one_run": "One run: unpick the bridge, sew from one far end to the other",
    "each": "One after the other: each from its far end to the bridge, locked off on it",
}


@dataclass(frozen=True)
class _Seam:
    """What the stitches are counted from, each an array over the worlds [mm]."""

    length: Array
    pitch: Array
    stack: Array
    overrun: Array
    back: Array
    waste: Array
    tail: Array
    every: int

    def stitches(self, length: Array) -> Array:
        """Stitches of one run over ``length``, ends included."""
        count = sewing.stitches_to_sew if self.every == 1 else sewing.stitches_every_other
        return np.asarray(count(length, self.pitch, self.overrun, self.back))

    def thread(self, length: Array) -> Array:
        """Thread to cut for one run over ``length``, tails included."""
        return np.asarray(
            sewing.thread_to_cut(
                length, self.pitch, self.stack, self.overrun, self.back, self.waste, self.tail,
                self.every,
            )
        )  # fmt: skip


def _seam(sample: Sample, of: Inputs, every: int) -> _Seam:
    return _Seam(
        length=of("damage_length"),
        pitch=of("stitch_pitch"),
        stack=sample.known("seam_layers") * of("skin_thickness"),
        overrun=sample.known("overrun"),
        back=sample.known("back_stitches"),
        waste=sample.known("thread_waste"),
        tail=sample.known("thread_tail"),
        every=every,
    )


def hand_seam(sample: Sample, of: Inputs) -> list[Amount]:
    """Sewn by hand through every hole: stitches, overrun, lock-off, thread."""
    return _by_hand(sample, of, 1)


def hand_seam_every_other_hole(sample: Sample, of: Inputs) -> list[Amount]:
    """Sewn by hand through every other hole, every hole at the ends."""
    return _by_hand(sample, of, 2)


def _by_hand(sample: Sample, of: Inputs, every: int) -> list[Amount]:
    seam, number = _seam(sample, of, every), of.places()
    several = float(np.median(number)) > 1.0
    limit = sample.rules.values["bridge"]
    joined = (
        several and sample.wishes.bridge is not None
        and sewing.sews_through_bridge(sample.wishes.bridge, limit.typical)
    )  # fmt: skip
    bridge = np.full(sample.worlds.n, sample.wishes.bridge) if joined else sample.known("bridge")
    one_run = seam.length * number + bridge * (number - 1.0)
    run = one_run if joined else seam.length
    runs = np.ones_like(number) if joined else number
    title = "Thread to cut for each split" if several and not joined else "Thread to cut"
    found = [
        sample.amount("stitches", "Stitches, ends included", seam.stitches(run) * runs, "number",
                      "thread_use", "" if seam.every == 1 else "Every other hole, ends at every"),
        sample.amount("pitch", "Stitch length (old holes)", seam.pitch, "length",
                      "seam_strength"),
        sample.given("overrun", sample.rules.values["overrun"], "length"),
        sample.given("lock_off", sample.rules.values["back_stitches"], "number"),
        sample.amount("thread_length", title, seam.thread(run), "length", "thread_use",
                      "From the size of the stitches, with overrun, lock-off, waste and tails"),
        _common_rule(sample, run, seam.thread(run)),
    ]  # fmt: skip
    if several:
        found += _bridge(sample, seam, one_run, number, joined=joined)
    return found


def _common_rule(sample: Sample, length: Array, cut: Array) -> Amount:
    times = sample.known("thread_rule")
    short = sewing.rule_of_thumb_short_by(cut, length, times)
    share = float(np.median(np.asarray(short) / cut))
    note = (
        "The common rule is enough here"
        if share <= 0.0
        else f"The common rule runs short: it gives {100 - 100 * share:.0f} % of what is needed"
    )
    title = f"Common rule: {float(np.median(times)):g} times the length"
    return sample.amount("thread_rule", title, times * length, "length", "practice", note)


def _bridge(
    sample: Sample, seam: _Seam, one_run: Array, number: Array, *, joined: bool
) -> list[Amount]:
    """Several splits in one seam: which to sew first hangs on the sound seam between."""
    limit, given = sample.rules.values["bridge"], sample.wishes.bridge
    found = []
    if not joined:
        thread = seam.thread(seam.length) * number
        title = "Thread for all splits"
        found.append(sample.amount("thread_total", title, thread / 1e3, "cloth", "thread_use"))
    if given is None:
        title, note = "Or one thread, bridges sewn through", "Measure the bridge"
        thread = seam.thread(one_run)
        found.append(sample.amount("thread_one_run", title, thread, "length", "thread_use", note))
    else:
        title, measured = "Sound bridge, measured", np.full(sample.worlds.n, given)
        found.append(sample.amount("bridge_given", title, measured, "length", "practice"))
    title = "A bridge is unpicked and sewn through when shorter than"
    found.append(sample.given("bridge", limit, "length", title))
    order = ORDERS["one_run" if joined else "open" if given is None else "each"]
    found.append(said("order", "Order of the splits", order, limit.source, limit.status))
    return found


def machine_seam(sample: Sample, of: Inputs) -> list[Amount]:
    """Machine stitching: length sewn, stitches, both threads together."""
    length, pitch = of("damage_length"), of("stitch_pitch")
    overrun, number = sample.known("overrun"), of.places()
    stack = sample.known("seam_layers") * of("skin_thickness")
    sewn_length = (length + 2.0 * overrun) * number
    thread = sewing.thread_to_cut(
        length, pitch, stack, overrun, 0.0, sample.known("thread_waste"), 0.0
    )
    return [
        sample.amount("sewn_length", "Length sewn, overrun included", sewn_length, "length",
                      "restitching"),
        sample.amount("stitches", "Stitches", sewing.stitches_to_sew(length, pitch, overrun, 0.0)
                      * number, "number", "thread_use"),
        sample.given("overrun", sample.rules.values["overrun"], "length"),
        sample.amount("thread_total", "Needle and bobbin thread together", thread * number / 1e3,
                      "cloth", "thread_use"),
    ]  # fmt: skip


def sewn_patch(sample: Sample, of: Inputs) -> list[Amount]:
    """A patch sewn on: its size, two rows all round, thread for them."""
    overlap, number = sample.known("patch_overlap"), of.places()
    length, gap = of("damage_length"), np.maximum(of("damage_opening"), 0.0)
    long, wide = patch_side(length, overlap), patch_side(gap, overlap)
    # One row along the edge of the patch, one round the edge of the damage.
    rows = np.asarray(2.0 * (long + wide) + 2.0 * (length + gap))
    stack = sample.known("seam_layers") * of("skin_thickness")
    thread = sewing.thread_to_cut(
        rows, of("stitch_pitch"), stack, sample.known("overrun"), 0.0,
        sample.known("thread_waste"), 0.0,
    )  # fmt: skip
    return [
        sample.amount("patches", "Patches", number, "number", "practice"),
        sample.amount("patch_length", "Patch, length", long, "length", "practice",
                      "Before its edge is turned under: add a seam allowance all round"),
        sample.amount("patch_width", "Patch, width", wide, "length", "practice"),
        sample.given("overlap", sample.rules.values["patch_overlap"], "length"),
        sample.amount("sewn_length", "Length sewn, two rows", rows * number / 1e3, "cloth",
                      "practice"),
        sample.amount("thread_total", "Needle and bobbin thread together", thread * number / 1e3,
                      "cloth", "thread_use"),
    ]  # fmt: skip


def old_panel(_: Sample, __: Inputs) -> list[Amount]:
    """One panel renewed: the old one is the measure."""
    measure = "The panel that was unpicked, with its seam allowance"
    return [said("panel", "Size of the new panel", measure, "practice", "common_practice")]


def cover_seams(sample: Sample, of: Inputs) -> list[Amount]:
    """A new cover: seams between its panels, thread for them."""
    plan = cut_plan(sample)
    if plan is None:
        return []
    edges = sum(2.0 * (p.length + p.width) * p.count for p in plan.panels)
    # Every seam joins two edges of panels.
    length = np.full(sample.worlds.n, edges / 2.0)
    pitch = of("stitch_pitch")
    stack = sample.known("seam_layers") * of("skin_thickness")
    thread = sewing.thread_to_cut(
        length, pitch, stack, sample.known("overrun"), 0.0, sample.known("thread_waste"), 0.0
    )
    note = "Half the edges of all panels; edges that are only turned in take none"
    return [
        sample.amount("sewn_length", "Seams at most", length / 1e3, "cloth", "estimate", note),
        sample.amount("thread_total", "Needle and bobbin thread together", thread / 1e3,
                      "cloth", "thread_use"),
    ]  # fmt: skip
