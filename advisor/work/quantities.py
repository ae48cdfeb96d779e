"""Quantities of a plan, method by method."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from advisor.mechanics.weld import rod_mass
from advisor.rulegraph.nodes import Array
from advisor.rulegraph.pack import method_word

from . import filling, sewing, welding
from .amounts import Amount
from .model import QuantityGroup
from .sample import Sample, said

Maker = Callable[[Sample, str], list[Amount]]


def quantity_groups(methods: Sequence[str], sample: Sample) -> tuple[QuantityGroup, ...]:
    """Quantities and tips for every method of a plan, in its order."""
    groups = []
    for key in methods:
        word = method_word(key)
        maker = MAKERS.get(word)
        amounts = tuple(maker(sample, key)) if maker is not None else ()
        tips = tuple(
            tip.text
            for tip in sample.rules.tips
            if word in tip.methods and sample.applies(tip.when)
        )
        title = sample.worlds.pack.methods[key].title
        if amounts or tips:
            groups.append(QuantityGroup(key, title, amounts, tips))
    return tuple(groups)


def places(sample: Sample) -> Array:
    """Places like this on the part, a whole number in each world."""
    return np.asarray(np.maximum(np.rint(sample.node("damage.count")), 1.0))


def _thread_and_needle(sample: Sample) -> list[Amount]:
    rules = sample.rules
    thread = next(rule for rule in rules.threads if sample.applies(rule.when))
    point = next(rule for rule in rules.points if sample.applies(rule.when))
    strength = thread.strength
    return [
        said("thread", "Thread", thread.title, strength.source, strength.status, thread.why),
        sample.given("thread_strength", strength, "force", "Thread breaks at, straight pull"),
        sample.given("needle", thread.needle, "number", "Needle, metric number"),
        said("needle_point", "Needle point", point.title, point.source, point.status, point.why),
    ]


def sewn(sample: Sample, key: str) -> list[Amount]:
    """Hand stitching: stitches, overrun, lock-off, thread beside the common rule, needle."""
    length, pitch = sample.node("damage.length"), sample.node("seam.pitch")
    overrun, back = sample.known("overrun"), sample.known("back_stitches")
    stack = sample.known("seam_layers") * sample.node("skin.thickness")
    every = 2 if key.endswith("every_other_hole") else 1
    count = sewing.stitches_to_sew if every == 1 else sewing.stitches_every_other
    number = places(sample)
    cut = sewing.thread_to_cut(
        length, pitch, stack, overrun, back,
        sample.known("thread_waste"), sample.known("thread_tail"), every,
    )  # fmt: skip
    times = sample.known("thread_rule")
    short = sewing.rule_of_thumb_short_by(cut, length, times)
    limit = sample.rules.values["bridge"]
    several = float(np.median(number)) > 1.0
    amounts = [
        sample.amount("stitches", "Stitches, ends included",
                      count(length, pitch, overrun, back) * number, "number", "thread_use"),
        sample.amount("pitch", "Stitch length (old holes)", pitch, "length", "seam_strength"),
        sample.given("overrun", sample.rules.values["overrun"], "length"),
        sample.given("lock_off", sample.rules.values["back_stitches"], "number"),
        sample.amount("thread_length", "Thread to cut for each place" if several
                      else "Thread to cut, tails included", cut, "length", "thread_use",
                      "By stitch geometry, with overrun, lock-off, waste and tails"),
        sample.amount("thread_rule", "Three times the length would give", times * length,
                      "length", "practice", _rule_note(float(np.median(short / cut)))),
    ]  # fmt: skip
    if several:
        title = "Thread in all"
        amounts.append(sample.amount("thread_total", title, cut * number, "length", "thread_use"))
        title = "Unpick and sew through a sound bridge shorter than"
        amounts.append(sample.given("bridge", limit, "length", title))
    return amounts + _thread_and_needle(sample)


def _rule_note(short: float) -> str:
    if short <= 0.0:
        return "The common rule is enough here"
    return f"The common rule runs short here: it gives {100 - 100 * short:.0f} % of what is needed"


def machined(sample: Sample, _: str) -> list[Amount]:
    """Machine stitching: length sewn, stitches, both threads together."""
    length, pitch = sample.node("damage.length"), sample.node("seam.pitch")
    overrun, number = sample.known("overrun"), places(sample)
    stack = sample.known("seam_layers") * sample.node("skin.thickness")
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
        sample.amount("thread_total", "Needle and bobbin thread together", thread * number,
                      "length", "thread_use"),
        *_thread_and_needle(sample),
    ]  # fmt: skip


def welded(sample: Sample, _: str) -> list[Amount]:
    """Hot-air weld: rod, air, speed, stop holes, hot-air minutes."""
    rules, number = sample.rules, places(sample)
    thickness, rod = sample.node("carrier.thickness"), sample.known("rod_diameter")
    angle, cap = sample.known("groove_angle"), sample.known("groove_cap")
    length = sample.node("damage.length") * number
    rod_length = welding.rod_to_buy(length, thickness, angle, cap, rod)
    beads = welding.passes(thickness, angle, cap, rod)
    plastic = sample.choice("carrier.material")
    kind = rules.rods.get(plastic)
    decl = sample.worlds.pack.facts["carrier.material"]
    title = next(option.title for option in decl.options if option.key == plastic)
    found = [
        said("rod", "Rod", f"{title}, the same plastic only", "weld_primer", "looked_up"),
        sample.given("rod_diameter", rules.values["rod_diameter"], "length"),
        sample.amount("rod_length", "Rod used", rod_length, "length", "dvs",
                      "Groove with raised bead over the rod's cross-section; one pass at least"),
    ]  # fmt: skip
    if kind is not None:
        density = sample.given("rod_density", kind.density, "number").value.typical
        grams = rod_mass(welding.rod_area(rod), density) * rod_length / 1e3
        found.append(sample.amount("rod_mass", "Mass of that rod", grams, "small_mass", "dvs"))
        found.append(sample.given("air", kind.air, "temperature", "Air at the nozzle"))
    return [
        *found,
        sample.amount("passes", "Passes", beads, "number", "dvs"),
        sample.given("weld_speed", rules.values["weld_speed"], "speed"),
        sample.amount("weld_minutes", "Hot air on the work",
                      welding.weld_minutes(length, beads, sample.known("weld_speed")), "time",
                      "dvs"),
        sample.given("groove", rules.values["groove_angle"], "number",
                     "Angle of the groove, degrees"),
        sample.amount("stop_holes", "Stop holes, one at each tip", welding.stop_holes(number),
                      "number", "inglis", "None where the crack ends at an edge or a hole"),
        sample.given("stop_drill", rules.values["stop_hole"], "length"),
    ]  # fmt: skip


def stapled(sample: Sample, _: str) -> list[Amount]:
    """Hot staples along the crack."""
    number = places(sample)
    each = welding.staples(sample.node("damage.length"), sample.known("staple_spacing"))
    return [
        sample.amount("staples", "Wire staples", each * number, "number", "staple_practice"),
        sample.given("staple_spacing", sample.rules.values["staple_spacing"], "length"),
        sample.amount("stop_holes", "Stop holes, one at each tip", welding.stop_holes(number),
                      "number", "inglis"),
    ]  # fmt: skip


def _hollow(sample: Sample) -> tuple[Array, Array, Array, str]:
    given = sample.wishes.hollow
    if given is not None:
        length, width, depth = (np.full(sample.worlds.n, side) for side in given)
        return length, width, depth, "From the measures given"
    depth = sample.known("void_depth_share") * sample.node("core.thickness")
    note = "Assumed size: measure the hollow and give it"
    return sample.known("void_length"), sample.known("void_width"), depth, note


def filled(sample: Sample, _: str) -> list[Amount]:
    """A hollow: its volume, a soft pad, and canned or two-part foam for behind a carrier."""
    rules = sample.rules
    length, width, depth, note = _hollow(sample)
    volume = filling.dish_volume(length, width, depth)
    over = sample.known("pad_oversize")
    cans = filling.cans_to_order(volume, sample.known("can_yield"), sample.known("can_confined"))
    number = filling.layers(depth, sample.known("can_layer"))
    cure = filling.cure_minutes(
        sample.known("can_cure_per_layer"), number, sample.wishes.humidity
    )
    liquid = 1e3 * volume / sample.known("mix_expansion")
    pours = filling.layers(depth, sample.known("mix_pour"))
    behind = "Behind the carrier only, never under a skin people touch"
    return [
        sample.amount("hollow", "Hollow, as a dish", volume, "volume", "estimate", note),
        sample.amount("pad_length", "Soft pad, length with oversize", length * (1.0 + over),
                      "length", "practice"),
        sample.amount("pad_width", "Soft pad, width with oversize", width * (1.0 + over),
                      "length", "practice"),
        sample.amount("pad_depth", "Soft pad, thickness with oversize", depth * (1.0 + over),
                      "length", "practice"),
        *_foam(sample),
        sample.amount("cans", "Or one-part foam, cans of 750 ml", cans, "number", "can_foam",
                      behind),
        sample.amount("can_layers", "One-part foam, layers", number, "number", "practice"),
        sample.amount("can_cure", "One-part foam, cure before refitting", cure, "time",
                      "can_foam", rules.values["can_cure_per_layer"].note),
        sample.amount("mix_liquid", "Or two-part foam, liquid", liquid, "small_volume", "pour_foam",
                      behind),
        sample.amount("mix_pours", "Two-part foam, pours", pours, "number", "pour_foam"),
    ]  # fmt: skip


def _foam(sample: Sample) -> list[Amount]:
    foam = next(rule for rule in sample.rules.foams if sample.applies(rule.when))
    source = foam.density
    return [
        said("foam", "Foam", foam.title, source.source, source.status),
        sample.given("foam_density", foam.density, "density", "Foam, density"),
        sample.given("foam_hardness", foam.hardness, "force",
                     "Foam, indentation force at 25 % on 323 cm²"),
    ]  # fmt: skip


def refoamed(sample: Sample, _: str) -> list[Amount]:
    """New padding: kind, thickness with oversize, adhesive."""
    over = sample.known("pad_oversize")
    thick = sample.node("core.thickness") * (1.0 + over)
    long, wide, note = _cover_size(sample)
    both_faces = 2.0 * long * wide / 1e6
    cement = filling.liquid_for_area(both_faces, 1.0, sample.known("cement_cover"))
    return [
        *_foam(sample),
        sample.amount("foam_thickness", "Thickness to cut, with oversize", thick, "length",
                      "practice"),
        sample.amount("foam_length", "Length to cut, with oversize", long * (1.0 + over),
                      "length", "practice", note),
        sample.amount("foam_width", "Width to cut, with oversize", wide * (1.0 + over),
                      "length", "practice"),
        sample.amount("cement", "Contact cement, both faces", 1e3 * cement, "small_volume",
                      "contact_cement"),
    ]  # fmt: skip


def _cover_size(sample: Sample) -> tuple[Array, Array, str]:
    """Length and width of the largest panel, as given or as is usual for the part."""
    if sample.wishes.panels:
        largest = max(sample.wishes.panels, key=lambda p: p.length * p.width)
        n = sample.worlds.n
        return np.full(n, largest.length), np.full(n, largest.width), "From the panels given"
    rules = sample.rules.panels.get(sample.choice("part.kind"))
    note = "Assumed size: measure the part"
    if not rules:
        return sample.known("panel_length"), sample.known("panel_width"), note
    first = max(rules, key=lambda p: p.length.typical * p.width.typical)
    length = sample.range_draw("panel_length", first.length)
    return length, sample.range_draw("panel_width", first.width), note


def patched(sample: Sample, _: str) -> list[Amount]:
    """A patch: size with overlap, cement."""
    overlap = sample.known("patch_overlap")
    length = filling.patch_side(sample.node("damage.length"), overlap)
    gap = np.maximum(sample.node("damage.gap"), 0.0)
    if sample.choice("damage.kind") == "hole":
        gap = sample.node("damage.length")
    width = filling.patch_side(gap, overlap)
    number = places(sample)
    area = 2.0 * length * width / 1e6
    cement = filling.liquid_for_area(area * number, 1.0, sample.known("cement_cover"))
    return [
        sample.amount("patches", "Patches", number, "number", "practice"),
        sample.amount("patch_length", "Patch, length", length, "length", "practice"),
        sample.amount("patch_width", "Patch, width", width, "length", "practice"),
        sample.given("overlap", sample.rules.values["patch_overlap"], "length"),
        sample.amount("cement", "Contact cement, both faces", 1e3 * cement, "small_volume",
                      "contact_cement"),
    ]  # fmt: skip


def levelled(sample: Sample, _: str) -> list[Amount]:
    """Filler: the heat it cures at against what the skin stands."""
    cure = sample.rules.values["filler_cure"]
    found = [sample.given("filler_cure", cure, "temperature", "Heat-cured filler cures at")]
    cover = sample.rules.covers.get(sample.choice("skin.material"))
    if cover is not None and cover.limit is not None:
        room = "The skin stands it, barely" if cover.limit.low < cure.high * 1.2 else ""
        if not filling.filler_fits(cure.high, cover.limit.low):
            room = "The skin does not stand the hottest cure: take an air-drying filler"
        limit = sample.given("skin_limit", cover.limit, "temperature", "The skin stands at most")
        found.append(replace(limit, note=room or limit.note))
    return found


def coloured(sample: Sample, _: str) -> list[Amount]:
    """Colour: area, coats, volume."""
    given = sample.wishes.area
    area = sample.known("coat_area") if given is None else np.full(sample.worlds.n, given)
    note = sample.rules.values["coat_area"].note if given is None else "From the area given"
    litres = filling.liquid_for_area(area, sample.known("coats"), sample.known("coat_cover"))
    return [
        sample.amount("colour_area", "Area to colour", area, "big_area", "estimate", note),
        sample.given("coats", sample.rules.values["coats"], "number"),
        sample.amount("colour", "Colour, all coats", 1e3 * litres, "small_volume",
                      "coatings"),
    ]  # fmt: skip


def glued(sample: Sample, _: str) -> list[Amount]:
    """Bonding: cement for both faces."""
    if sample.choice("damage.kind") == "fallen_lining":
        long, wide, note = _cover_size(sample)
        area = long * wide / 1e6
    else:
        area = sample.node("damage.length") * places(sample) * 40.0 / 1e6
        note = "A strip of 40 mm along the edge"
    cement = filling.liquid_for_area(2.0 * area, 1.0, sample.known("cement_cover"))
    return [
        sample.amount("bond_area", "Area to bond", area, "big_area", "estimate", note),
        sample.amount("cement", "Contact cement, both faces", 1e3 * cement, "small_volume",
                      "contact_cement"),
    ]  # fmt: skip


MAKERS: dict[str, Maker] = {
    "hand_stitch": sewn,
    "machine_restitch": machined,
    "plastic_weld": welded,
    "staple_reinforce": stapled,
    "foam_backfill": filled,
    "foam_replace": refoamed,
    "backing_patch": patched,
    "flexible_filler": levelled,
    "recolour": coloured,
    "adhesive_bond": glued,
    "recover_panel": lambda sample, _: _thread_and_needle(sample),
}
