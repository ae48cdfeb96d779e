"""A shop's own folder: it adds hazards and widens them, and takes none away.

Each tried as a shop owner would: files put into the folder, then the commands.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from advisor import paths
from advisor.advice.advise import advise
from advisor.advice.result import GateState, Verdict
from advisor.facts.case import Case
from advisor.facts.faults import BadInput
from advisor.facts.marked_yaml import read_marked
from advisor.paths import overlay_folder, rules_folder
from advisor.rulegraph.load import load_pack, load_without_own
from advisor.rulegraph.model.pack import RulePack
from tests.unit.cli.command import Command
from tests.unit.hazards.own_files import GAS_LINE, GAS_QUESTION, SWITCHED_OFF
from tests.unit.hazards.weakenings import HAZARDS, QUESTIONS, asked_pairs

Put = Callable[[str, str], Path]

ARMREST = {
    "part.kind": ("armrest",), "vehicle.kind": ("bus",), "damage.kind": ("seam_open",),
}  # fmt: skip


@pytest.fixture
def put(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Put:
    """Puts a file into a shop's own folder, which is empty at first."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))

    def write(name: str, text: str) -> Path:
        path = overlay_folder() / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    return write


def copy_of(name: str) -> dict:
    return dict(read_marked(rules_folder() / name).data)


def as_text(data: dict) -> str:
    return yaml.safe_dump(data, sort_keys=False, allow_unicode=True)


def asks_as_shipped(own: RulePack, shipped: RulePack) -> bool:
    """Every shipped hazard is asked at least where the program asks it."""
    return all(
        gate.asked_for <= own.gates[key].asked_for
        and own.facts[gate.fact] == shipped.facts[gate.fact]
        for key, gate in shipped.gates.items()
    )


def test_a_hazard_of_the_shop_that_no_part_lists_is_asked_of_every_part(
    put: Put, pack: RulePack
) -> None:
    put("hazards.yaml", GAS_LINE)
    put("facts/6_shop.yaml", GAS_QUESTION)
    own = load_pack()
    assert asks_as_shipped(own, pack)
    for part in own.facts["part.kind"].keys:
        asked = own.gates_asked(Case("HB-1", facts={**ARMREST, "part.kind": (part,)}))
        assert "gas_line" in asked, part
    assert own.own.kept == () and own.own.added == ("facts/6_shop.yaml",)


def test_a_hazard_that_the_shop_lists_for_a_part_is_asked_there(put: Put, pack: RulePack) -> None:
    put("hazards.yaml", GAS_LINE)
    put("facts/6_shop.yaml", GAS_QUESTION)
    put("parts/armrest.yaml", as_text({**copy_of("parts/armrest.yaml"), "gates": ["gas_line"]}))
    own = load_pack()
    assert {part for part, _ in own.gates["gas_line"].asked_for} == {"armrest", "none_of_these"}
    assert asks_as_shipped(own, pack)


@pytest.mark.parametrize("hazard", sorted(copy_of(HAZARDS)["gates"]))
def test_an_older_copy_without_a_hazard_takes_it_away_from_nothing(
    put: Put, pack: RulePack, hazard: str, command: Command
) -> None:
    """A newer release has a hazard more than the copy that a shop keeps: it is asked at once."""
    hazards, questions = copy_of(HAZARDS), copy_of(QUESTIONS)
    fact = hazards["gates"][hazard]["fact"]
    hazards["gates"] = {key: one for key, one in hazards["gates"].items() if key != hazard}
    for entry in hazards["gates"].values():
        if fact in repr(entry.get("asked_when")):
            del entry["asked_when"]
    put("hazards.yaml", as_text(hazards))
    del questions[fact]
    put(QUESTIONS, as_text(questions))
    own = load_pack()
    assert asks_as_shipped(own, pack)
    assert {f"{HAZARDS}: {hazard}", f"{QUESTIONS}: {fact}"} <= set(own.own.kept)
    ran = command("rules", "check")
    assert ran.code == 3 and f"leaves out {hazard}, which is asked all the same" in ran.err


def test_an_older_copy_that_asks_less_asks_as_the_program_does(put: Put, pack: RulePack) -> None:
    hazards = copy_of(HAZARDS)
    hazards["gates"]["airbag"]["asked_for"] = [{"vehicles": ["car"], "parts": ["dash_pad"]}]
    put("hazards.yaml", as_text(hazards))
    own = load_pack()
    assert asks_as_shipped(own, pack)
    assert own.own.kept == (f"{HAZARDS}: where airbag is asked",)


def test_a_part_that_a_shop_keeps_is_asked_what_a_newer_release_adds(
    put: Put, pack: RulePack
) -> None:
    """What is asked of a part stands in the table of hazards and in no file of a part."""
    put("parts/armrest.yaml", as_text(copy_of("parts/armrest.yaml")))
    assert asks_as_shipped(load_pack(), pack)


def test_an_empty_list_of_hazards_takes_none_away_and_is_told(
    put: Put, pack: RulePack, command: Command
) -> None:
    put("parts/armrest.yaml", as_text({**copy_of("parts/armrest.yaml"), "gates": []}))
    own = load_pack()
    assert asks_as_shipped(own, pack)
    ran = command("rules", "check")
    assert ran.code == 3 and "leaves out the hazards of this part" in ran.err
    put("parts/armrest.yaml", as_text(copy_of("parts/armrest.yaml")))
    put("hazards.yaml", "gates: []\n")
    ran = command("rules", "check")
    assert ran.code == 3 and "hazards.yaml:1:8: gates: not a mapping" in ran.err


def test_a_contradictory_hazard_is_refused_with_its_line(put: Put, command: Command) -> None:
    hazards = copy_of(HAZARDS)
    closed = hazards["gates"]["airbag"]["closed_when"]
    hazards["gates"]["airbag"]["closed_when"] = {
        "all": [closed, {"not": dict(closed)}]
    }
    path = put("hazards.yaml", as_text(hazards))
    for words in (("rules", "check"), ("advise", str(paths.demo_folder() / "airbag_seam.yaml"))):
        ran = command(*words)
        assert ran.code == 3 and ran.out == ""
        assert f"{path}:" in ran.err
        assert "gates.airbag.closed_when: airbag answered in_section does not stop" in ran.err


@pytest.mark.parametrize(
    ("entry", "problem"),
    [
        ("closed_when: {all: [{fact: gate.gas_line, is: yes}, {fact: gate.gas_line, is: no}]}",
         "no answer stops the job or warns"),
        ("closed_when: {any: [{fact: gate.gas_line, is: yes}, {fact: gate.gas_line, is: no}]}",
         "it stops every job, whatever is answered"),
        ("asked_when: {all: [{fact: vehicle.kind, is: car}, {fact: vehicle.kind, is: boat}]}\n"
         "    closed_when: {fact: gate.gas_line, is: yes}", "this hazard is asked in no case"),
        ("closed_when: {all: [{fact: gate.gas_line, is: yes}, {node: skin.shrinkage, "
         'at_least: "0.01 1"}]}', "cannot be decided for all cases"),
    ],
)  # fmt: skip
def test_a_hazard_of_the_shop_that_can_do_nothing_is_refused(
    put: Put, entry: str, problem: str
) -> None:
    put("hazards.yaml", GAS_LINE.replace("closed_when: {fact: gate.gas_line, is: yes}", entry))
    put("facts/6_shop.yaml", GAS_QUESTION)
    with pytest.raises(BadInput) as caught:
        load_pack()
    assert any(problem in fault.problem for fault in caught.value.faults), str(caught.value)


def test_a_switched_off_hazard_is_not_asked_and_every_output_says_so(
    put: Put, tmp_path: Path, command: Command
) -> None:
    put("hazards.yaml", SWITCHED_OFF)
    own = load_pack()
    seat = Case("HB-1", facts={**ARMREST, "part.kind": ("seat_cushion",)})
    assert "heater" not in own.gates_asked(seat)
    told = seat.with_fact("gate.heater", ("in_section",))
    assert advise(told, own, 64, flips=False).verdict is Verdict.REFER
    demo = str(paths.demo_folder() / "split_armrest.yaml")
    said = "switched off a hazard question: A heating element lies under the damage"
    signed = "Signed by Ida Moe on 2026-11-30."
    outputs = [command("advise", demo).out, command("job", demo).out, command("rules", "check").out]
    for suffix in ("txt", "html"):
        for words in (("rationale",), ("job",)):
            file = tmp_path / f"{words[0]}.{suffix}"
            assert command(*words, demo, "--to", str(file)).code == 0
            outputs.append(file.read_text("utf-8"))
    for text in outputs:
        flat = " ".join(text.replace("|", " ").split())
        assert said in flat and signed in flat, text
    form = json.loads(command("advise", demo, "--json").out)["rules"]["own"]
    assert form["switched_off"] == [{
        "hazard": "heater", "title": "A heating element lies under the damage",
        "reason": "None of the harbour shuttles has seat heating.", "name": "Ida Moe",
        "date": "2026-11-30",
    }]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("name: Ida Moe", 'name: ""', "too short a text"),
        ("date: 2026-11-30", "date: soon", "not a date"),
        ("    reason: None of the harbour shuttles has seat heating.\n", "", "reason is missing"),
        ("  heater:", "  heeter:", "no such gate"),
    ],
)
def test_a_switched_off_hazard_has_to_be_signed(put: Put, old: str, new: str, problem: str) -> None:
    assert old in SWITCHED_OFF
    put("hazards.yaml", SWITCHED_OFF.replace(old, new))
    with pytest.raises(BadInput) as caught:
        load_pack()
    assert [fault.problem for fault in caught.value.faults] == [problem]


def test_what_an_own_folder_does_is_said_on_every_output(
    put: Put, tmp_path: Path, command: Command
) -> None:
    put("hazards.yaml", GAS_LINE)
    put("facts/6_shop.yaml", GAS_QUESTION)
    skins = copy_of("materials/skins.yaml")
    put("materials/skins.yaml", as_text(skins))
    put("sources.yaml", as_text({**copy_of("sources.yaml"), "shop": {"title": "Our own trials"}}))
    demo = str(paths.demo_folder() / "split_armrest.yaml")
    for words in (("advise", demo), ("job", demo), ("rules", "check")):
        flat = " ".join(command(*words).out.split())
        assert "Added by the shop: facts/6_shop.yaml." in flat
        replaced = "Replaced by the shop: hazards.yaml, materials/skins.yaml, sources.yaml."
        assert replaced in flat
    form = json.loads(command("job", demo, "--json").out)["jobs"][0]["rules"]["own"]
    assert form["added"] == ["facts/6_shop.yaml"] and form["left_out"] == []


# -- one broken file -----------------------------------------------------------------------------


def broken(call: Callable[[], object]) -> BadInput:
    with pytest.raises(BadInput) as caught:
        call()
    return caught.value


def test_a_broken_file_leaves_the_shipped_rules(put: Put, pack: RulePack) -> None:
    put("methods/lace_over.yaml", "method: lace_over\nsteps: [")
    found = load_without_own(broken(load_pack))
    assert found.digest == pack.digest
    assert found.own.broken == ("methods/lace_over.yaml",)
    advice = advise(Case("HB-1", facts=dict(ARMREST)), found, 64, flips=False)
    assert advice.own_rules.sentences == (
        "The shop's own rules are left out, for faults in: methods/lace_over.yaml.",
    )


@pytest.mark.parametrize("name", ["hazards.yaml", "facts/6_shop.yaml", "parts/armrest.yaml"])
def test_a_broken_file_that_may_hold_hazards_stops(put: Put, name: str) -> None:
    put(name, "gates: [")
    bad = broken(load_pack)
    assert broken(lambda: load_without_own(bad)) is bad


def test_hazards_of_the_shop_are_not_left_out_for_another_broken_file(put: Put) -> None:
    put("hazards.yaml", GAS_LINE)
    put("facts/6_shop.yaml", GAS_QUESTION)
    put("methods/lace_over.yaml", "method: lace_over\nsteps: [")
    bad = broken(load_pack)
    assert broken(lambda: load_without_own(bad)) is bad


def test_the_pairs_read_by_hand_are_those_of_the_program(pack: RulePack) -> None:
    files = {
        path.relative_to(rules_folder()).as_posix(): read_marked(path).data
        for path in rules_folder().rglob("*.yaml")
    }
    assert asked_pairs(files) == {key: set(gate.asked_for) for key, gate in pack.gates.items()}


def test_an_open_hazard_is_asked(pack: RulePack) -> None:
    """The table is what the program asks: an open hazard shows in the advice of every pair."""
    for key, gate in pack.gates.items():
        part, vehicle = sorted(gate.asked_for)[0]
        facts = {**ARMREST, "part.kind": (part,), "vehicle.kind": (vehicle,)}
        found = {one.gate: one.state for one in advise(Case("x", facts=facts), pack, 64).gates}
        assert found[key] in (GateState.OPEN, GateState.CLOSED), key


@pytest.mark.parametrize("hazard", ["airbag", "high_voltage"])
def test_a_whole_pack_without_a_hazard_is_refused(
    tmp_path: Path, command: Command, hazard: str
) -> None:
    """A pack of somebody's own, its hazard and question taken out: no check, no advice."""
    folder = tmp_path / "rules"
    shutil.copytree(rules_folder(), folder)
    hazards, questions = copy_of(HAZARDS), copy_of(QUESTIONS)
    del questions[hazards["gates"].pop(hazard)["fact"]]
    (folder / HAZARDS).write_text(as_text(hazards), encoding="utf-8")
    (folder / QUESTIONS).write_text(as_text(questions), encoding="utf-8")
    demo = str(paths.demo_folder() / "airbag_seam.yaml")
    for words in (("rules", "check", folder), ("advise", demo, "--rules", folder)):
        ran = command(*words)
        assert ran.code == 3 and ran.out == ""
        assert f"the hazard {hazard} is missing" in ran.err
