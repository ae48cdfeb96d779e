"""Foam, patch, filler, colour and cement of a repair."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from advisor.facts.case import PART
from advisor.job.amount import Amount
from advisor.job.measured_and_agreed import HollowShape
from advisor.job.quantities import filling
from advisor.job.quantities.inputs import Inputs
from advisor.job.sample import Sample, said
from advisor.rulegraph.model.nodes import Array
from advisor.wording.phrases import filled, named, read_phrase

BEHIND = "Behind the carrier only, never under a face people touch"
SHAPE_WORDS = {
    HollowShape.DISH: "a dish",
    HollowShape.SHALLOW: "a shallow dish",
    HollowShape.WEDGE: "a wedge",
    HollowShape.BLOCK: "a block",
}
CANS = read_phrase("Or canned (one-part) foam, cans of 750 ml")
LAYER = read_phrase("A layer of 30 mm takes 20 to 25 minutes at 18 °C")


def _hollow(sample: Sample, of: Inputs) -> tuple[Array, Array, Array, HollowShape, str]:
    """Length, width, depth [mm], shape, and where they come from."""
    given = sample.wishes.hollow
    if given is not None:
        sides = (given.length, given.width, given.depth)
        length, width, depth = (np.full(sample.worlds.n, side) for side in sides)
        return length, width, depth, given.shape, "From the measures given"
    depth = sample.known("void_depth_share") * of("padding_thickness")
    note = "Size assumed: measure the hollow"
    length, width = sample.known("void_length"), sample.known("void_width")
    return length, width, depth, HollowShape.DISH, note


def hollow_and_pad(sample: Sample, of: Inputs) -> list[Amount]:
    """A hollow: its volume, foam of the place, a soft pad under the skin."""
    length, width, depth, shape, note = _hollow(sample, of)
    volume = np.asarray(filling.hollow_volume(length, width, depth, shape))
    over = 1.0 + sample.known("pad_oversize")
    title = f"Hollow, as {SHAPE_WORDS[shape]}"
    return [
        sample.amount("hollow", title, volume, "volume", "estimate", note),
        *_foam(sample),
        sample.amount("pad_length", "Soft pad, length with oversize", length * over, "length",
                      "practice"),
        sample.amount("pad_width", "Soft pad, width with oversize", width * over, "length",
                      "practice"),
        sample.amount("pad_depth", "Soft pad, thickness with oversize", depth * over, "length",
                      "practice"),
    ]  # fmt: skip


def _volume_and_depth(sample: Sample, of: Inputs) -> tuple[Array, Array]:
    """Of the hollow [l, mm]."""
    length, width, depth, shape, _ = _hollow(sample, of)
    return np.asarray(filling.hollow_volume(length, width, depth, shape)), depth


def canned_foam(sample: Sample, of: Inputs) -> list[Amount]:
    """Canned foam for the hollow, behind a hard part: cans, layers, cure."""
    volume, depth = _volume_and_depth(sample, of)
    cans = filling.cans_to_order(volume, sample.known("can_yield"), sample.known("can_confined"))
    number = filling.layers(depth, sample.known("can_layer"))
    damp = filling.USUAL_HUMIDITY if sample.wishes.humidity is None else sample.wishes.humidity
    cure = filling.cure_minutes(sample.known("can_cure_per_layer"), number, damp)
    at = f"At {round(100 * damp)} % humidity{'' if sample.wishes.humidity else ', assumed'}. "
    handled = sample.draw("can_handle", *filling.HANDLED) * number * filling.USUAL_HUMIDITY / damp
    return [
        sample.amount("cans", CANS, cans, "number",
                      "can_foam", BEHIND),
        sample.amount("can_layers", "Canned foam, layers", number, "number", "practice",
                      "Mist each layer with water"),
        sample.amount("can_handled", "Canned foam, may be cut and handled after", handled, "time",
                      "can_foam", at + LAYER),
        sample.amount("can_cure", "Canned foam, cured: refit the panel after", cure, "time",
                      "can_foam", at + "Closed in or dry it takes a day, or never cures"),
    ]  # fmt: skip


def two_part_foam(sample: Sample, of: Inputs) -> list[Amount]:
    """Two-part foam for the hollow, behind a hard part: liquid and pours."""
    volume, depth = _volume_and_depth(sample, of)
    liquid = 1e3 * volume / sample.known("mix_expansion")
    pours = filling.layers(depth, sample.known("mix_pour"))
    return [
        sample.amount("mix_liquid", "Or two-part foam, both parts together", liquid,
                      "small_volume", "pour_foam", BEHIND),
        sample.amount("mix_pours", "Two-part foam, pours", pours, "number", "pour_foam",
                      "It heats itself: let each pour cool before the next"),
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


def new_padding(sample: Sample, of: Inputs) -> list[Amount]:
    """New padding: kind, thickness with oversize, adhesive."""
    over = sample.known("pad_oversize")
    thick = of("padding_thickness") * (1.0 + over)
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
    rules = sample.listed(PART, sample.rules.panels)
    note = "Assumed size: measure the part"
    if not rules:
        return sample.known("panel_length"), sample.known("panel_width"), note
    # A strip that may be joined, such as a skirt, is no face of the part.
    faces = [rule for rule in rules if not rule.may_join] or rules
    first = max(faces, key=lambda p: p.length.typical * p.width.typical)
    length = sample.range_draw("panel_length", first.length)
    return length, sample.range_draw("panel_width", first.width), note


def glued_patch(sample: Sample, of: Inputs) -> list[Amount]:
    """A patch: size with overlap, cement."""
    overlap = sample.known("patch_overlap")
    length = filling.patch_side(of("damage_length"), overlap)
    gap = np.maximum(of("damage_opening"), 0.0)
    width = filling.patch_side(gap, overlap)
    number = of.places()
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


def filler_cure(sample: Sample, _: Inputs) -> list[Amount]:
    """Filler: the heat it cures at against what the skin stands."""
    cure = sample.rules.values["filler_cure"]
    found = [sample.given("filler_cure", cure, "temperature", "Heat-cured filler cures at")]
    cover = sample.listed(sample.worlds.pack.roles.skin, sample.rules.covers)
    if cover is not None and cover.limit is not None:
        room = "The skin withstands it, barely" if cover.limit.low < cure.high * 1.2 else ""
        if not filling.filler_fits(cure.high, cover.limit.low):
            room = "The skin does not withstand the hottest cure: take an air-drying filler"
        title = "The skin withstands at most"
        limit = sample.given("skin_limit", cover.limit, "temperature", title)
        found.append(replace(limit, note=room or limit.note))
    return found


def colour_coats(sample: Sample, of: Inputs) -> list[Amount]:
    """Colour: area, coats, volume."""
    given = sample.wishes.area
    area = of("coloured_area") / 1e6 if given is None else np.full(sample.worlds.n, given)
    note = "From length, width and what is blended out round them"
    note = note if given is None else "From the area given"
    litres = filling.liquid_for_area(area, sample.known("coats"), sample.known("coat_cover"))
    return [
        sample.amount("colour_area", "Area to colour", area, "big_area", "estimate", note),
        sample.given("coats", sample.rules.values["coats"], "number"),
        sample.amount("colour", "Colour, all coats", 1e3 * litres, "small_volume",
                      "coatings"),
    ]  # fmt: skip


def cement_for_lining(sample: Sample, _: Inputs) -> list[Amount]:
    """Bonding a lining: cement for both faces."""
    long, wide, note = _cover_size(sample)
    return _cemented(sample, long * wide / 1e6, note)


def cement_for_edge(sample: Sample, of: Inputs) -> list[Amount]:
    """Bonding along an edge: cement for both faces of a strip."""
    width = of("edge_width")
    area = of("damage_length") * of.places() * width / 1e6
    strip = filled("A strip of {} along the edge", named(f"{float(np.median(width)):g}", "mm"))
    return _cemented(sample, area, strip)


def _cemented(sample: Sample, area: Array, note: str) -> list[Amount]:
    cement = filling.liquid_for_area(2.0 * area, 1.0, sample.known("cement_cover"))
    return [
        sample.amount("bond_area", "Area to bond", area, "big_area", "estimate", note),
        sample.amount("cement", "Contact cement, both faces", 1e3 * cement, "small_volume",
                      "contact_cement"),
    ]  # fmt: skip
