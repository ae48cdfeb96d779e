"""Faults of form, of names and of units told in one run, none of them caused by another."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import Marked
from advisor.paths import rules_folder
from advisor.rulegraph.compiling.pack import build_pack
from advisor.rulegraph.reading import read_pack as reading
from tests.unit.rulegraph.spoiled import Spoiled

LOADS = "loads/"
STITCH = "methods/hand_stitch.yaml"
SITE = ("site: skin", "site: skim")


def told(spoiled: Spoiled) -> list[tuple[str, str, str]]:
    """File, problem and what was found of every fault, in order."""
    return [(spoiled.name_of(f), f.problem, f.found) for f in spoiled.faults()]


def test_form_names_and_units_in_one_run(spoiled: Spoiled) -> None:
    """Five files, each with a fault of its own kind."""
    spoiled.edit("needs.yaml", "    status: common_practice\n  edge_hold",
                 "    status: comon_practice\n  edge_hold")
    spoiled.edit("materials/skins.yaml", "key: skin.material", "key: skin.materal")
    spoiled.edit(LOADS, "shore_a: skin.shore", "shore_a: skin.shor")
    spoiled.edit(LOADS, 'age: 1 yr', 'age: 1 mm')
    spoiled.edit("prices.yaml", "currency: EUR", "currency: euro")
    spoiled.edit(STITCH, *SITE)
    assert told(spoiled) == [
        (LOADS, "wrong unit", "1 mm"),
        (LOADS, "no such node or quantity", "skin.shor"),
        ("materials/skins.yaml", "no such choice", "skin.materal"),
        (STITCH, "no such site", "skim"),
        ("needs.yaml", "not one of the accepted words", "comon_practice"),
        ("prices.yaml", "not a currency", "euro"),
    ]


@pytest.mark.parametrize(
    ("old", "new", "problem", "found"),
    [
        ("order: 40", "order: soon", "not a whole number", "soon"),
        ("order: 40\n", "", "order is missing", ""),
        ("looks: unseen", "looks: unsen", "not one of the accepted words", "unsen"),
        ("looks: unseen", "looks: unseen\nlooked: yes", "unknown key", "looked"),
        ("title: Hand stitch through the old holes", "title: [a]", "not a text", ""),
    ],
)
def test_a_method_with_a_fault_in_its_head_is_judged_all_the_same(
    old: str, new: str, problem: str, found: str, spoiled: Spoiled
) -> None:
    spoiled.edit(STITCH, old, new)
    spoiled.edit(STITCH, *SITE)
    spoiled.edit(STITCH, "[cyanoacrylate]", "[cyanoacrylat]")
    assert {(STITCH, problem, found), (STITCH, "no such site", "skim"),
            (STITCH, "no such caution", "cyanoacrylat")} == set(told(spoiled))  # fmt: skip


def test_places_are_right_behind_an_entry_that_is_left_out(spoiled: Spoiled) -> None:
    spoiled.edit(STITCH, "  - text: Pick out the broken thread", "  - txt: Pick out the")
    spoiled.edit(STITCH, "[cyanoacrylate]", "[cyanoacrylat]")
    *form, name = spoiled.faults()
    assert {fault.problem for fault in form} == {"unknown key", "text is missing"}
    assert (name.line, name.column) == spoiled.place(STITCH, "cyanoacrylat]")
    assert name.field.startswith("steps.3.")


def test_every_wrong_name_of_a_condition(spoiled: Spoiled) -> None:
    spoiled.edit("facts/", '{fact: vehicle.age, at_least: 15 yr}',
                 '{all: [{fact: vehicle.agee, at_least: "15 yr"}, {fact: skin.fel, is: x}, '
                 "{any: [{fact: vehicle.use, is: [privat, shutle]}]}]}")
    assert [f.nearest for f in spoiled.faults()] == [
        "vehicle.age", "skin.feel", "private", "shuttle",
    ]  # fmt: skip


#: One fault of form in an entry that others refer to: file, text, what stands there instead.
ALONE = {
    "fact": ("facts/", "skin.feel:\n  kind: choice", "skin.feel:\n  kind: choise"),
    "option": ("facts/", "    stiff: {title:", "    stiff: {titel:"),
    "like": ("facts/", "    armrest:\n", "    armrest:\n      like: x\n"),
    "dimension": ("facts/", "dimension: age", "dimension: agee"),
    "prior": ("facts/", "{spread: {low: 2, typical: 12, high: 35}",
              "{spread: {low: 20, typical: 12, high: 35}"),
    "node": (LOADS, "{low: 0.35, typical: 0.42, high: 0.48}",
             "{low: 0.65, typical: 0.42, high: 0.48}"),
    "node of a method": (STITCH, "  ligament:\n    title: What", "  ligament:\n    titel: What"),
    "input": (LOADS, 'age: 1 yr', "age: {low: much}"),
    "site": (LOADS, "title: Across the open skin\n    unit: N/mm",
             "title: Across the open skin\n    unit: [N/mm]"),
    "source": ("sources.yaml", "sears_darby:", "Sears_darby:"),
    "need": ("needs.yaml", "    when: {fact: damage.kind, is: sticky",
             "    whn: {fact: damage.kind, is: sticky"),
    "cell": ("materials/cores.yaml", "    plateau: {low: 0.10, typical: 0.15, high: 0.20, ",
             "    plateau: {low: 0.30, typical: 0.15, high: 0.20, "),
    "column": ("materials/cores.yaml", "{title: Thickness, unit: mm}",
               "{title: Thickness, unit: [mm]}"),
    "cell of a part": ("parts/armrest.yaml", "high: 40, unit: mm", "high: 4, unit: mm"),
    "gate": ("hazards.yaml", "fact: gate.heater\n", "fact: [gate.heater]\n"),
    "key of a source": ("materials/cores.yaml", "high: 0.20, source: foam_sheets",
                        "high: 0.20, sorce: foam_sheets"),
    "condition": (LOADS, "- {when: {fact: skin.material, is: vinyl_moulded}, use",
                  "- {when: {fact: skin.material, is: {a: b}}, use"),
    "table": ("parts.yaml", "table: parts", "table: [parts]"),
    "method": (STITCH, "\nmeets: [close]", "\nmeets: close"),
    "variant": ("methods/hand_stitch_every_other_hole.yaml", "variant:", "varient:"),
    "stock": ("prices.yaml", "holds_at: ", "holds_at: 1"),
}  # fmt: skip


@pytest.mark.parametrize("what", ALONE)
def test_nobody_misses_what_is_misshapen(what: str, spoiled: Spoiled) -> None:
    """All that is told stands in the line that was spoiled, or in the entry around it."""
    file, old, new = ALONE[what]
    spoiled.edit(file, old, new)
    faults = spoiled.faults()
    assert {spoiled.name_of(fault) for fault in faults} == {file}, [f.text for f in faults]
    assert len(faults) <= 2, [fault.text for fault in faults]


BROKEN = [
    "needs.yaml", "sources.yaml", "hazards.yaml", "parts.yaml", "plastics.yaml", STITCH,
    "facts/1_part.yaml", "loads/skin.yaml", "materials/skins.yaml", "parts/armrest.yaml",
]  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_a_file_that_cannot_be_read_brings_no_faults_elsewhere(name: str, spoiled: Spoiled) -> None:
    path = spoiled.folder / name
    text = path.read_text(encoding="utf-8")
    path.write_text(text + "\nmore: [}\n", encoding="utf-8")
    (fault,) = spoiled.faults()
    assert "not valid YAML" in fault.problem
    path.write_text(text, encoding="utf-8")
    path.rename(path.with_suffix(".yml"))
    (first, *rest) = spoiled.faults()
    assert first.accepted == path.name or "lacks" in first.problem
    assert all(fault.accepted == path.name for fault in rest)


def test_what_is_wrong_elsewhere_is_told_beside_a_file_that_cannot_be_read(
    spoiled: Spoiled,
) -> None:
    path = spoiled.folder / "needs.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "\nmore: [}\n", encoding="utf-8")
    spoiled.edit(LOADS, "shore_a: skin.shore", "shore_a: skin.shor")
    spoiled.edit(LOADS, 'age: 1 yr', 'age: 1 mm')
    assert [found for _, _, found in told(spoiled)] == ["1 mm", "skin.shor", ""]


#: A value in one of several forms: what is written, the place under it, and the message.
FORMS = {
    "a mapping": ('age: 1 yr', "age: {low: much}", ".age.low", "not a number", "much", "",
                  "a number"),
    "a mapping that falls": ('age: 1 yr', "age: {low: 3, typical: 2, high: 5}", ".age",
                             "low, typical and high must not fall", "", "", ""),
    "a key of a mapping": ('age: 1 yr', "age: {value: 2, hgh: 3}", ".age.hgh", "unknown key",
                           "hgh", "", "high, low, note, source, status, typical, unit, value"),
    "a list for none": ('age: 1 yr', "age: [1, 2]", ".age", "not in an accepted form", "",
                        "a list", "a text, a number or keys with values"),
    "nothing": ('age: 1 yr', "age: ~", ".age", "not in an accepted form", "", "nothing",
                "a text, a number or keys with values"),
    "a list in a list": ("sum: [leather.aged_strain, leather.heat_strain]",
                         "sum: [leather.aged_strain, [leather.heat_strain]]", ".sum.1",
                         "not in an accepted form", "", "a list", "a text or a number"),
    "a text for a list": ("sum: [leather.aged_strain, leather.heat_strain]",
                          "sum: leather.aged_strain",
                          ".sum", "not a list", "leather.aged_strain", "",
                          "a list, such as [a, b]"),
    "a list of a condition": ("is: vinyl_moulded}, use: skin.vinyl", "is: [[a]]}, use: skin.vinyl",
                              ".is.0", "not a text", "", "a list", "a text"),
    "a mapping of a condition": ("is: vinyl_moulded}, use: skin.vinyl",
                                 "is: {a: b}}, use: skin.vinyl", ".is", "not in an accepted form",
                                 "", "a mapping",
                                 "a text, yes or no or a list, such as [a, b]"),
}  # fmt: skip


@pytest.mark.parametrize("what", FORMS)
def test_a_value_of_several_forms_has_one_fault(what: str, spoiled: Spoiled) -> None:
    old, new, place, problem, found, found_is, accepted = FORMS[what]
    start = spoiled.edit(LOADS, old, new)
    (fault,) = spoiled.faults()
    assert fault.field.endswith(place)
    assert (fault.problem, fault.found, fault.found_is) == (problem, found, found_is)
    assert fault.accepted == accepted
    assert fault.line == spoiled.place(LOADS, new.split("\n")[0], start)[0]


def paths(value: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    entries = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inside in entries:
        yield (*at, key)
        if isinstance(inside, dict | list):
            yield from paths(inside, (*at, key))


def spoilt(value: Any, at: tuple[str | int, ...]) -> Any:
    """``value`` with what stands at ``at`` inside a list, or a list inside a mapping."""
    if not at:
        return {"inside": value} if isinstance(value, list) else [value]
    changed = dict(value) if isinstance(value, dict) else list(value)
    changed[at[0]] = spoilt(value[at[0]], at[1:])  # type: ignore[index]
    return changed


@pytest.fixture(scope="module")
def marked() -> dict[Path, Marked]:
    return {path: reading.read_marked(path) for path in sorted(rules_folder().rglob("*.yaml"))}


@pytest.mark.parametrize("seed", range(4))
def test_any_entry_of_another_shape_brings_no_faults_elsewhere(
    seed: int, marked: dict[Path, Marked], monkeypatch: pytest.MonkeyPatch
) -> None:
    chance = random.Random(seed)
    told = 0
    for path in chance.sample(sorted(marked), 15):
        at = chance.choice(list(paths(marked[path].data)))
        wrong = replace(marked[path], data=spoilt(marked[path].data, at))

        def read(file: Path, path: Path = path, wrong: Marked = wrong, **_: object) -> Marked:
            return wrong if file == path else marked[file]

        monkeypatch.setattr(reading, "read_marked", read)
        try:
            build_pack(reading.read_files(rules_folder(), None))
        except BadInput as bad:
            assert {fault.file for fault in bad.faults} == {str(path)}, (path, at)
            told += 1
    assert told > 10  # a word in place of a list of one is accepted here and there
