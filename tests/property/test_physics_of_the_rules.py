"""What the shipped rules must say of edges, frost, riders, screws, staples and cut skins.

Each compares the same simulated cases with one answer changed, so no sampling error comes in but
where shares are compared, and there the differences asked for are far beyond three standard errors.
"""

from __future__ import annotations

import numpy as np
import pytest

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span, Value
from tests.property.given_cases import PACK

N = 4096


def worlds_of(**given: Value) -> SampledWorlds:
    """Worlds of a car with these answers; a double underscore stands for the dot."""
    facts: dict[str, Value] = {"vehicle.kind": ("car",)}
    facts |= {name.replace("__", "."): value for name, value in given.items()}
    return SampledWorlds(Case("HB-1", facts=facts), PACK, N, seed=1)


def holds(worlds: SampledWorlds, key: str, need: str) -> float:
    """Share in which a method is possible and holds."""
    outcome = MethodOutcome(PACK.methods[key], worlds)
    return worlds.mean(outcome.possible * outcome.holds(need))


EDGE: dict[str, Value] = {
    "part__kind": ("dash_pad",), "skin__material": ("vinyl_moulded",),
    "damage__kind": ("lifted_edge",), "skin__feel": ("supple",),
}  # fmt: skip


def test_an_edge_that_does_not_reach_is_not_glued() -> None:
    short = worlds_of(**EDGE, edge__lies_down=("short",), edge__short_by=Span(5.0, 5.0))
    assert holds(short, "adhesive_bond", "edge_hold") == 0.0
    lies = worlds_of(**EDGE, edge__lies_down=("lies",))
    assert holds(lies, "adhesive_bond", "edge_hold") > 0.8


def test_a_tighter_curl_and_a_hollow_never_help_glue() -> None:
    base = worlds_of(**EDGE, edge__lies_down=("springs",), edge__curl_radius=Span(40.0, 40.0))
    flat = base.changed("edge.curve", ("flat",))
    for name, value in (("edge.curl_radius", Span(8.0, 8.0)), ("edge.curve", ("hollow",))):
        worse = flat.changed(name, value)
        assert np.all(
            worse.values["demand.edge_sustained"] >= flat.values["demand.edge_sustained"] - 1e-12
        )
        assert worse.values["demand.edge_sustained"].mean() > (
            1.1 * flat.values["demand.edge_sustained"].mean()
        )


def test_a_sewn_cover_on_its_pad_feels_little_of_the_frost() -> None:
    """Under a third of what a skin on a carrier feels, in each middle."""
    frost = {}
    for part in ("seat_cushion", "dash_pad"):
        worlds = worlds_of(
            part__kind=(part,), skin__material=("vinyl_backed",), damage__kind=("tear",),
            core__material=("foam_soft",), place__climate=("frosty",),
        )  # fmt: skip
        frost[part] = float(np.median(worlds.values["load.cold"]))
    assert frost["seat_cushion"] < frost["dash_pad"] / 3.0


@pytest.mark.parametrize("skin", ["vinyl_backed", "leather"])
def test_a_colder_place_never_fails_the_seam_of_a_sewn_cover(skin: str) -> None:
    mild = worlds_of(
        part__kind=("seat_cushion",), skin__material=(skin,), skin__feel=("supple",),
        damage__kind=("seam_open",), damage__hole_state=("intact",), place__climate=("mild",),
    )  # fmt: skip
    chances = [
        holds(worlds, "hand_stitch", "close")
        for worlds in (mild, mild.changed("place.climate", ("frosty",)))
    ]
    assert chances[1] > chances[0] - 0.02


def test_hardening_raises_the_pull_by_less_than_the_stiffness() -> None:
    worlds = worlds_of(part__kind=("dash_pad",), skin__material=("vinyl_moulded",),
                       damage__kind=("skin_crack",), skin__feel=("stiff",))  # fmt: skip
    hard = worlds.values["skin.hardening"] > 1.05
    assert hard.mean() > 0.5
    assert np.all(worlds.values["skin.locked_in"][hard] < worlds.values["skin.stiffness"][hard])


def test_many_riders_push_harder_and_differ_less() -> None:
    one = worlds_of(part__kind=("armrest",), skin__material=("vinyl_backed",),
                    damage__kind=("seam_open",), vehicle__use=("private",))  # fmt: skip
    many = one.changed("vehicle.use", ("shuttle",))
    for name, riders in (("people.mass_once", many), ("people.mass_often", many)):
        assert np.median(riders.values[name]) > np.median(one.values[name])
    spread = [np.std(np.log(worlds.values["people.mass_often"])) for worlds in (one, many)]
    assert spread[1] < spread[0] / 2.0


def test_screws_bear_by_the_wood_and_by_their_number() -> None:
    lid = worlds_of(
        part__kind=("hinged_board",), damage__kind=("broken_fixing",), fixing__kind=("hinge",),
        carrier__material=("plywood",), access__back=("front_only",),
        wood__state=("dry",), screw__number=Span(2.0, 2.0),
    )  # fmt: skip
    six = lid.changed("screw.number", Span(6.0, 6.0))
    assert np.all(six.values["screw.group"] > 2.5 * lid.values["screw.group"])
    grip = [float(np.median(lid.values["screw.group"]))]
    for state in ("wet", "soft", "rotten"):
        other = lid.changed("wood.state", (state,))
        grip.append(float(np.median(other.values["screw.group"])))
    assert grip == sorted(grip, reverse=True)
    assert grip[3] < 0.1 * grip[0]


def test_staples_turn_with_the_face_that_opens() -> None:
    back = worlds_of(
        part__kind=("rigid_trim",), damage__kind=("carrier_crack",), carrier__material=("abs",),
        access__back=("free",), crack__opens=("back",),
    )  # fmt: skip
    front = back.changed("crack.opens", ("front",))
    ratio = front.values["staple_reinforce.line"] / back.values["staple_reinforce.line"]
    assert 0.2 < float(np.median(ratio)) < 0.45
    assert np.all(front.values["plastic_weld.mesh"] == 1.0)


def test_weak_holes_speak_of_a_weak_strip() -> None:
    told = worlds_of(part__kind=("seat_cushion",), skin__material=("leather",),
                     skin__feel=("supple",), damage__kind=("seam_open",),
                     damage__hole_state=("intact",))  # fmt: skip
    weak, strong = (
        told.changed("damage.hole_pull", Span(pull, pull)) for pull in (22.0, 55.0)
    )
    strips = [worlds.mean(worlds.values["skin.new_line_strength"]) for worlds in (weak, strong)]
    assert strips[0] < 0.85 * strips[1]
