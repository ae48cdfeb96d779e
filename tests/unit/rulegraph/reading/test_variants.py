"""A variant of a method says only what differs; the rest is the method's, faults included."""

from __future__ import annotations

import pytest

from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.nodes import Apply
from tests.unit.rulegraph.spoiled import Spoiled

OTHER = "methods/hand_stitch_every_other_hole.yaml"
STITCH = "methods/hand_stitch.yaml"
HEAVY = """\
variant_of: hand_stitch
variant: heavy_thread
title: Hand stitch with a heavy thread
remark: For a heavy cloth.
reliability: {low: 0.9, typical: 0.95, high: 0.98, source: practice, status: common_practice}
tools: [Awl]
joints:
  "1":
    modes:
      thread: {cyclic: 0.4}
nodes:
  thread_strength:
    title: Strength of bonded polyester thread Tex 135
    draw: {low: 71.2, typical: 98, high: 105}
"""


def put(spoiled: Spoiled, old: str = "", new: str = "") -> str:
    """The variant as a file of the pack, with a text in it replaced; its name in the pack."""
    assert old in HEAVY
    name = "methods/heavy.yaml"
    (spoiled.folder / name).write_text(HEAVY.replace(old, new), encoding="utf-8")
    return name


def test_what_it_does_not_say_is_the_methods(spoiled: Spoiled) -> None:
    put(spoiled)
    pack = load_pack(spoiled.folder)
    heavy, plain = pack.methods["hand_stitch.heavy_thread"], pack.methods["hand_stitch"]
    assert (heavy.title, heavy.remark) == ("Hand stitch with a heavy thread", "For a heavy cloth.")
    assert heavy.tools == ("Awl",)
    for same in ("meets", "order", "looks", "work", "materials", "steps", "requirements"):
        assert getattr(heavy, same) == getattr(plain, same), same
    assert (heavy.tips, heavy.waits, heavy.lasts) == ((), (), None)
    (joint,) = heavy.joints
    modes = {mode.key: mode for mode in joint.modes}
    assert list(modes) == [mode.key for mode in plain.joints[0].modes]
    assert modes["thread"].title == plain.joints[0].modes[0].title
    assert modes["thread"].cyclic.constant == 0.4
    assert modes["hole"].capacity.name == "hand_stitch.hole"
    # A new strength of the thread makes what the thread carries its own too, and no more.
    assert modes["thread"].capacity.name == "hand_stitch.heavy_thread.thread"
    scope = "hand_stitch.heavy_thread."
    own = [name.removeprefix(scope) for name in pack.nodes if name.startswith(scope)]
    assert sorted(own) == ["thread", "thread_strength"]
    thread = pack.nodes["hand_stitch.heavy_thread.thread"].operation
    assert isinstance(thread, Apply)
    assert thread.inputs["thread_strength"].name == "hand_stitch.heavy_thread.thread_strength"
    assert thread.inputs["loop_factor"].name == "hand_stitch.loop_factor"
    assert pack.nodes["hand_stitch.heavy_thread.thread_strength"].unit == "N"


def test_an_entry_is_changed_by_its_number(spoiled: Spoiled) -> None:
    pack = load_pack(spoiled.folder)
    every, other = pack.methods["hand_stitch"], pack.methods["hand_stitch.every_other_hole"]
    differ = [i for i in range(6) if every.steps[i] != other.steps[i]]
    assert differ == [2, 3] and len(other.steps) == 6
    assert other.steps[2].cautions == every.steps[2].cautions == ("needles",)
    assert [a == b for a, b in zip(every.work, other.work, strict=True)] == [True, False, True]
    assert other.work[1].per == every.work[1].per


@pytest.mark.parametrize(
    ("old", "new", "marker", "problem", "nearest"),
    [
        ("variant_of: hand_stitch", "variant_of: hand_stich", "hand_stich\n", "no such method",
         "hand_stitch"),
        ("variant: heavy_thread\n", "", "hand_stitch\n", "variant is missing", ""),
        ("variant: heavy", "method: recolour\nvariant: heavy", "recolour",
         "not the method that it is a variant of", ""),
        ('"1":', '"2":', '"2":', "no such entry", ""),
        ("cyclic: 0.4", "cyclic: 0.4, glitter: red", "glitter", "unknown key", ""),
        ("source: practice", "source: practise", "practise", "no such source", "practice"),
        ("draw: {low: 71.2", "draw: {low: 171.2", "{low: 171.2",
         "low, typical and high must not fall", ""),
        ("cyclic: 0.4", "cyclic: tread", "tread", "no such node or quantity", "thread"),
    ],
)  # fmt: skip
def test_a_fault_of_its_own_is_told_in_its_file(
    old: str, new: str, marker: str, problem: str, nearest: str, spoiled: Spoiled
) -> None:
    name = put(spoiled, old, new)
    (fault,) = spoiled.faults()
    assert (fault.problem, fault.nearest) == (problem, nearest)
    assert spoiled.name_of(fault) == name
    assert (fault.line, fault.column) == spoiled.place(name, marker)


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("source: tear_stitch\n        status", "source: tear_stich\n        status",
         "no such source"),
        ("site: skin", "site: skim", "no such site"),
        ("cautions: [needles, blood]", "cautions: [needles, blod]", "no such caution"),
        ("order: 40", "order: soon", "not a whole number"),
    ],
)  # fmt: skip
def test_a_fault_taken_over_is_told_once_in_the_file_of_the_method(
    old: str, new: str, problem: str, spoiled: Spoiled
) -> None:
    put(spoiled)
    spoiled.edit(STITCH, old, new)
    (fault,) = spoiled.faults()
    assert (spoiled.name_of(fault), fault.problem) == (STITCH, problem)
    assert fault.line == spoiled.place(STITCH, new.partition("\n")[0])[0]


def test_only_a_method_has_variants(spoiled: Spoiled) -> None:
    part = "part: armrest\n"
    spoiled.edit("parts/armrest.yaml", part, f"{part}variant_of: hand_stitch\n")
    assert "only a method has variants" in [fault.problem for fault in spoiled.faults()]


def test_nobody_misses_the_variants_of_a_method_that_cannot_be_read(spoiled: Spoiled) -> None:
    put(spoiled)
    path = spoiled.folder / STITCH
    path.write_text(path.read_text("utf-8") + "more: [}\n", encoding="utf-8")
    (fault,) = spoiled.faults()
    assert "not valid YAML" in fault.problem and spoiled.name_of(fault) == STITCH
