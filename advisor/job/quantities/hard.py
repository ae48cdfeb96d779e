"""Rod, air, stop holes, staples and doubler of a mended hard part."""

from __future__ import annotations

from advisor.job.amount import Amount
from advisor.job.quantities import welding
from advisor.job.quantities.inputs import Inputs
from advisor.job.sample import Sample, said
from advisor.mechanics.weld import rod_mass
from advisor.wording.counts import of_hundred

#: From this share of the simulated cases on, the plastic counts as known.
KNOWN = 0.8


def stop_holes(sample: Sample, of: Inputs) -> list[Amount]:
    """Holes that stop a crack, and the drill for them."""
    return [
        sample.amount("stop_holes", "Stop holes, one at each tip",
                      welding.stop_holes(of.places()), "number", "inglis",
                      "None where the crack ends at an edge or a hole"),
        sample.given("stop_drill", sample.rules.values["stop_hole"], "length"),
    ]  # fmt: skip


def _likeliest(sample: Sample) -> tuple[str, float]:
    """The likeliest plastic of the part and its share of the simulated cases."""
    fact = sample.worlds.pack.roles.base
    key = sample.choice(fact)
    code = sample.worlds.pack.facts[fact].keys.index(key)
    return key, sample.worlds.mean(sample.worlds.values[fact] == code)


def _rod_words(sample: Sample) -> str:
    """The rod is of the plastic of the part; which one that is must be known first."""
    key, share = _likeliest(sample)
    worlds, fact = sample.worlds, sample.worlds.pack.roles.base
    title = worlds.pack.facts[fact].option(key).title
    if share < KNOWN:
        said_so = f"{title} in {of_hundred(share)} simulated cases"
        return f"First find out which plastic it is ({said_so}): the same plastic only"
    source = worlds.case.read.get(fact)
    text = worlds.case.facts.get(source, "") if source else ""
    reading = worlds.pack.reading(source, text) if source and isinstance(text, str) else None
    marked = f", marked {reading.mark}" if reading is not None else ""
    return f"{title}{marked}: the same plastic only"


def staples_behind_weld(sample: Sample, of: Inputs) -> list[Amount]:
    """Staples that help a loaded weld, over all cracks."""
    each = welding.staples(of("damage_length"), sample.known("staple_spacing"))
    note = "They help the weld, they do not replace it"
    title = "Wire staples behind, where it is loaded"
    number = each * of.places()
    return [sample.amount("staples", title, number, "number", "staple_practice", note)]


def welding_rod(sample: Sample, of: Inputs) -> list[Amount]:
    """Hot-air weld: rod, air, passes, speed, hot-air minutes, groove."""
    rules, number = sample.rules, of.places()
    thickness, rod = of("base_thickness"), sample.known("rod_diameter")
    angle, cap = sample.known("groove_angle"), sample.known("groove_cap")
    length = of("damage_length") * number
    rod_length = welding.rod_to_buy(length, thickness, angle, cap, rod)
    beads = welding.passes(thickness, angle, cap, rod)
    grams = rod_mass(welding.rod_area(rod), of("base_density")) * rod_length / 1e3
    found = [
        said("rod", "Rod", _rod_words(sample), "weld_primer", "looked_up"),
        sample.given("rod_diameter", rules.values["rod_diameter"], "length"),
        sample.amount("rod_length", "Rod used", rod_length, "length", "dvs",
                      "Groove with raised bead over the rod's cross-section; one pass at least"),
        sample.amount("rod_mass", "Mass of that rod", grams, "small_mass", "dvs"),
    ]  # fmt: skip
    kind = sample.listed(sample.worlds.pack.roles.base, rules.rods)
    if kind is not None and _likeliest(sample)[1] >= KNOWN:
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
    ]  # fmt: skip


def doublers_behind(sample: Sample, of: Inputs) -> list[Amount]:
    """Strips of the same plastic behind a crack: how many, their size."""
    overlap = sample.rules.values["patch_overlap"]
    length = of("damage_length") + 2.0 * overlap.typical
    return [
        sample.amount("doublers", "Strips behind, of the same plastic", of.places(), "number",
                      "practice"),
        sample.amount("doubler_length", "Each strip, length", length, "length", "practice",
                      "The crack and an overlap at both ends"),
        sample.given("doubler_side", overlap, "length", "On each side of the crack"),
    ]  # fmt: skip


def strips_behind(sample: Sample, of: Inputs) -> list[Amount]:
    """Strips bonded behind a crack: how many, their size."""
    overlap = sample.rules.values["patch_overlap"]
    length = of("damage_length") + 2.0 * overlap.typical
    return [
        sample.amount("strips", "Strips behind", of.places(), "number", "practice"),
        sample.amount("strip_length", "Each strip, length", length, "length", "practice",
                      "The crack and an overlap at both ends"),
        sample.given("strip_side", overlap, "length", "On each side of the crack"),
    ]  # fmt: skip


def hot_staples(sample: Sample, of: Inputs) -> list[Amount]:
    """Hot staples along the crack."""
    number = of.places()
    each = welding.staples(of("damage_length"), sample.known("staple_spacing"))
    return [
        sample.amount("staples", "Wire staples", each * number, "number", "staple_practice"),
        sample.given("staple_spacing", sample.rules.values["staple_spacing"], "length"),
    ]  # fmt: skip
