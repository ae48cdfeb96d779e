"""The kinds of part: each has its own figures, its usual make, its hazards and its usual method."""

from __future__ import annotations

import numpy as np
import pytest
import yaml

from advisor.advice.advise import advise
from advisor.advice.result import Advice, Status
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.facts.declaration import Kind
from advisor.paths import rules_folder
from advisor.rulegraph.model.pack import RulePack
from tests.unit.rulegraph.spoiled import Spoiled

PART, VEHICLE = "part.kind", "vehicle.kind"
GROUPS = [
    "Seats", "Rests and consoles", "Doors and walls", "Panel and wheel", "Ceiling and roof",
    "Floor", "Hard trim and fixings", "Not in the list",
]  # fmt: skip
FILES = {path.stem: path for path in sorted((rules_folder() / "parts").glob("*.yaml"))}


def part_file(part: str) -> dict[str, dict[str, object]]:
    found = yaml.safe_load(FILES[part].read_text(encoding="utf-8"))
    return {"values": found.get("values", {}), "priors": found.get("priors", {})}


def case(part: str, vehicle: str, **facts: object) -> Case:
    told = {name.replace("_", ".", 1): value for name, value in facts.items()}
    return Case("HB-1", facts={PART: (part,), VEHICLE: (vehicle,), **told})  # type: ignore[dict-item]


def worlds(pack: RulePack, part: str, vehicle: str, **facts: object) -> SampledWorlds:
    return SampledWorlds(case(part, vehicle, **facts), pack, 1024, seed=5)


def harmless(pack: RulePack, found: Case) -> Case:
    """Every hazard of the case answered: none here, and a station that accepts the job."""
    for gate in pack.gates_asked(found):
        decl = pack.facts[pack.gates[gate].fact]
        answer: bool | tuple[str, ...] = decl.name == "gate.aircraft_station"
        if decl.kind is Kind.CHOICE:
            answer = ("none",)
        found = found.with_fact(decl.name, answer)
    return found


def advised(pack: RulePack, part: str, vehicle: str, **facts: object) -> Advice:
    return advise(harmless(pack, case(part, vehicle, **facts)), pack, 1024, flips=False)


def share(found: SampledWorlds, fact: str, *keys: str) -> float:
    """In how many of the worlds the fact is one of ``keys``."""
    known = found.pack.facts[fact].keys
    return found.mean(np.isin(found.values[fact], [known.index(key) for key in keys]))


# -- every template --------------------------------------------------------------


def test_every_part_has_a_file_a_heading_and_vehicles(pack: RulePack) -> None:
    options = pack.facts[PART].options
    assert set(FILES) == {option.key for option in options if not option.not_covered}
    assert list(dict.fromkeys(option.group for option in options)) == GROUPS
    for option in options:
        assert option.sentence, option.key
        assert len(set(option.usual_in)) == len(option.usual_in)
    for vehicle in pack.facts[VEHICLE].keys:
        usual = [o for o in options if not o.usual_in or vehicle in o.usual_in]
        assert len(usual) >= 3, vehicle


@pytest.mark.parametrize("part", sorted(FILES))
def test_every_part_says_what_is_usual_of_it(pack: RulePack, part: str) -> None:
    """In its own file, or in that of the part it is a kind of."""
    wanted = ["skin.material", "core.material"]
    if part != "seat_belt":
        wanted += ["access.back", "carrier.material"]
        told = part_file(part)
        assert len(told["values"]) + len(told["priors"]) >= 5
    if part in ("carpet_edge", "floor_carpet"):
        wanted.remove("carrier.material")
    for fact in wanted:
        assert part in pack.fact_rules[fact].by_part, fact


def test_a_kind_of_another_part_is_no_copy_of_it(pack: RulePack) -> None:
    for option in pack.facts[PART].options:
        if option.like is None:
            continue
        own, other = part_file(option.key)["values"], part_file(option.like)["values"]
        differing = [name for name in own if own[name] != other.get(name)]
        assert len(differing) >= 4, option.key


@pytest.mark.parametrize("part", sorted(FILES))
def test_every_part_can_be_advised_in_every_vehicle_it_is_usual_in(
    pack: RulePack, part: str
) -> None:
    option = pack.facts[PART].option(part)
    for vehicle in option.usual_in or pack.facts[VEHICLE].keys:
        occurring = sorted(pack.coverage.usual[part], key=pack.facts["damage.kind"].keys.index)
        for damage in (occurring[0], occurring[len(occurring) // 2], occurring[-1]):
            found = advised(pack, part, vehicle, damage_kind=(damage,))
            assert found.methods
            assert all(np.isfinite(load.value.high) for load in found.loads)


@pytest.mark.parametrize(
    ("part", "gate"),
    [
        ("pilot_seat", "belt"), ("helm_seat", "belt"), ("head_restraint", "energy_absorber"),
        ("door_top", "airbag"), ("overhead_panel", "airbag"), ("sun_visor", "airbag"),
        ("kick_panel", "airbag"), ("kick_panel", "high_voltage"), ("load_floor", "high_voltage"),
        ("carpet_edge", "high_voltage"), ("carpet_edge", "suspect_fibres"),
        ("seat_shell", "belt"), ("seat_shell", "seat_structure"), ("gaiter", "airbag"),
        ("work_seat", "occupant_sensor"), ("overhead_panel", "suspect_fibres"),
    ],
)
def test_hazards_that_belong_to_a_part(pack: RulePack, part: str, gate: str) -> None:
    assert part in {asked for asked, _ in pack.gates[gate].asked_for}


# -- usual makes -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "vehicle", "fact", "keys", "least"),
    [
        ("rigid_trim", "aircraft", "carrier.material", ("abs",), 0.6),
        ("overhead_panel", "aircraft", "carrier.material", ("abs",), 0.6),
        ("seat_shell", "aircraft", "carrier.material", ("abs", "pc_abs"), 0.6),
        ("side_lining", "boat", "carrier.material", ("fibreglass", "plywood"), 0.95),
        ("dash_pad", "boat", "carrier.material", ("fibreglass",), 0.6),
        ("bench_cushion", "camper", "carrier.material", ("plywood",), 0.8),
        ("bench_cushion", "boat", "skin.material", ("vinyl_backed",), 0.8),
        ("sun_deck", "boat", "skin.material", ("vinyl_backed",), 0.9),
        ("helm_seat", "boat", "skin.material", ("vinyl_backed",), 0.9),
        ("work_seat", "farm_machine", "skin.material", ("vinyl_backed",), 0.5),
        ("seat_cushion", "farm_machine", "skin.material", ("vinyl_backed",), 0.5),
        ("box_cushion", "camper", "skin.material", ("cloth_woven", "cloth_knit"), 0.75),
        ("pilot_seat", "aircraft", "carrier.material", ("metal",), 0.6),
        ("carpet_edge", "car", "place.sun", ("shaded",), 0.6),
        ("sun_deck", "boat", "place.sun", ("strong",), 0.7),
    ],
)
def test_what_is_usual_in_the_vehicle(
    pack: RulePack, part: str, vehicle: str, fact: str, keys: tuple[str, ...], least: float
) -> None:
    found = worlds(pack, part, vehicle, damage_kind=("tear",))
    assert share(found, fact, *keys) >= least


def test_age_and_climate_move_what_is_usual(pack: RulePack) -> None:
    def of(part: str, fact: str, key: str, age: float, climate: str = "mild") -> float:
        found = SampledWorlds(
            case(part, "car", damage_kind=("fallen_lining",), place_climate=(climate,))
            .with_fact("vehicle.age", quantity(age)), pack, 1024, seed=5,
        )  # fmt: skip
        return share(found, fact, key)

    assert of("door_panel", "carrier.material", "fibreboard", 30) > 0.5
    assert of("door_panel", "carrier.material", "fibreboard", 5) < 0.5
    layer = ("headlining", "damage.failed_layer", "foam")
    assert of(*layer, 3) < of(*layer, 12, "mild") < of(*layer, 12, "hot")


def quantity(value: float) -> object:
    from advisor.facts.case import Span

    return Span(value, value)


def test_a_loose_cushion_has_no_board_to_rot(pack: RulePack) -> None:
    assert share(worlds(pack, "box_cushion", "boat", damage_kind=("tear",)),
                 "carrier.state", "sound") == 1.0


# -- feet ------------------------------------------------------------------------


def test_feet_load_only_what_one_treads_on(pack: RulePack) -> None:
    trodden = {"carpet_edge", "floor_carpet", "kick_panel"}
    for part in FILES:
        found = worlds(pack, part, "bus", damage_kind=("seam_open",))
        least, most = found.values["load.heel"].min(), found.values["load.heel"].max()
        assert (least > 0) == (most > 0) == (part in trodden), part


def test_shoes_pull_hardest_on_a_carpet_binding(pack: RulePack) -> None:
    """In frost too: a narrow binding is free to shrink."""
    found = advised(
        pack, "carpet_edge", "bus", damage_kind=("seam_open",), place_climate=("frosty",)
    )
    for demand, cause in (("demand.skin_cyclic", "load.scuff"), ("demand.skin_peak", "load.heel")):
        node = next(load for load in found.loads if load.duration == demand.split("_")[1]
                    and load.site == "skin")
        assert max(node.causes, key=lambda c: c.value.typical).node == cause
    busy = worlds(pack, "carpet_edge", "bus", damage_kind=("seam_open",), vehicle_use=("shuttle",))
    rare = worlds(pack, "carpet_edge", "bus", damage_kind=("seam_open",), vehicle_use=("private",))
    assert (busy.values["load.scuff"] > rare.values["load.scuff"]).all()
    assert np.array_equal(busy.values["load.heel"], rare.values["load.heel"])


# -- the usual method for the usual damage (common practice, no source) ------------


SEWN = {"skin_feel": ("supple",), "damage_failed": ("thread",), "damage_hole.state": ("intact",)}
SEW = {"hand_stitch", "machine_restitch"}
USUAL = [
    ("pilot_seat", "aircraft", "seam_open", SEWN, SEW),
    ("helm_seat", "boat", "seam_open", SEWN, SEW),
    ("work_seat", "farm_machine", "seam_open", SEWN, SEW),
    ("box_cushion", "camper", "seam_open", SEWN, SEW),
    ("sun_deck", "boat", "seam_open", SEWN, SEW),
    ("gaiter", "car", "seam_open", SEWN, SEW),
    ("boat_canopy", "boat", "seam_open", SEWN, SEW),
    ("carpet_edge", "bus", "thread_run", SEWN, SEW),
    ("carpet_edge", "bus", "seam_open", SEWN, SEW),
    ("carpet_edge", "bus", "hole", {}, {"recover_panel", "replace_part"}),
    ("door_top", "car", "shrunk_short", {}, {"recover_panel", "replace_part"}),
    ("work_seat", "farm_machine", "hole", {}, {"recover_panel", "backing_patch", "replace_part"}),
    ("kick_panel", "car", "broken_fixing", {}, {"mechanical_fastener", "replace_part"}),
    ("load_floor", "car", "carrier_rotten", {"carrier_material": ("fibreboard",)},
     {"replace_part"}),
    ("sun_deck", "boat", "carrier_rotten", {"carrier_material": ("plywood",)}, {"replace_part"}),
    ("seat_shell", "bus", "carrier_crack",
     {"carrier_material": ("abs",), "access_back": ("free",)},
     {"solvent_weld", "plastic_weld", "backing_patch", "replace_part"}),
    ("box_cushion", "camper", "core_collapsed", {"core_state": ("tired",)}, {"foam_replace"}),
    ("pilot_seat", "aircraft", "worn_surface",
     {"skin_material": ("leather",), "damage_depth": ("finish",)}, {"recolour"}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("part", "vehicle", "damage", "facts", "accepted"), USUAL,
    ids=[f"{row[0]}-{row[2]}" for row in USUAL],
)  # fmt: skip
def test_the_usual_method_leads(
    pack: RulePack, part: str, vehicle: str, damage: str, facts: dict[str, object],
    accepted: set[str],
) -> None:  # fmt: skip
    found = advised(pack, part, vehicle, damage_kind=(damage,), **facts)
    assert found.plan is not None
    assert found.plan.lead.split(".")[0] in accepted
    if facts is SEWN:
        glue = next(m for m in found.methods if m.method == "adhesive_bond")
        assert glue.status is Status.FAILS
        assert glue.hold_probability < 0.5


def test_a_head_restraint_of_a_road_vehicle_is_referred(pack: RulePack) -> None:
    found = advised(pack, "head_restraint", "car", damage_kind=("seam_open",))
    assert found.verdict.value == "refer"


# -- how the options are written ---------------------------------------------------


def test_a_vehicle_there_is_not_is_told_with_the_nearest_name(spoiled: Spoiled) -> None:
    old = "like: bench_cushion\n      group: Seats\n      usual_in: [boat]"
    start = spoiled.edit("facts/", old, old.replace("[boat]", "[camper, baot]"))
    (fault,) = spoiled.faults()
    assert (fault.line, fault.column) == spoiled.place("facts/", "baot", start)
    assert fault.problem == "no such vehicle"
    assert fault.field == "part.kind.options.sun_deck.usual_in.1"
    assert (fault.found, fault.nearest) == ("baot", "boat")


def test_areas_of_a_cover_are_those_of_its_panels(pack: RulePack) -> None:
    """Leather and yards are bought by the same sizes; typical figures, within a tenth."""
    for part, panels in pack.job.panels.items():
        told = part_file(part)
        if not told.get("panels"):
            continue
        areas = [panel.length.typical * panel.width.typical / 1e6 for panel in panels]
        faces = [a for a, p in zip(areas, panels, strict=True) if not p.may_join] or areas
        whole = sum(a * p.count for a, p in zip(areas, panels, strict=True))
        assert told["values"]["cover_area"]["typical"] == pytest.approx(whole, rel=0.1), part
        assert told["values"]["panel_area"]["typical"] == pytest.approx(max(faces), rel=0.1), part
