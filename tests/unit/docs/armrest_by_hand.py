"""The demo armrest by hand: raw figures of the rules, formulas written out here.

Nothing of the program computes in this file. It reads the three points of each figure from
the YAML files, draws from them with numpy, and follows the armrest from the plasticizer to
the usage of its joints.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from statistics import NormalDist
from typing import Any

import numpy as np
import yaml
from numpy.typing import NDArray

ROOT = Path(__file__).parents[3]
RULES = ROOT / "rules"
N = 60_000
YEARS, SKIN, PADDING = 7.0, 1.1, 22.0  # as the case says: yr, mm, mm
GAS = 8.314e-3  # kJ/(mol K)

Array = NDArray[np.float64]


@cache
def read(name: str) -> Any:
    return yaml.safe_load((RULES / name).read_text(encoding="utf-8"))


@cache
def nodes() -> dict[str, Any]:
    found: dict[str, Any] = {}
    for path in sorted((RULES / "loads").glob("*.yaml")):
        found |= yaml.safe_load(path.read_text(encoding="utf-8")).get("nodes", {})
    return found

GONE = "vinyl.gone_in_front"


class Bench:
    """Draws from the rules' figures, each drawn once."""

    def __init__(self) -> None:
        self.rng = np.random.default_rng(20)

    def tri(self, figure: dict[str, Any]) -> Array:
        if "value" in figure:
            return np.full(N, float(figure["value"]))
        low, high = figure["low"], figure["high"]
        return self.rng.triangular(low, figure["typical"], high, N)

    def node(self, name: str, branch: int | None = None) -> Array:
        """The figure of a node, or of the branch that this case is in."""
        draw = nodes()[name]["draw"]
        return self.tri(draw if branch is None else draw["by"][branch])

    def part(self, column: str) -> Array:
        own = read("parts/armrest.yaml")["values"].get(column)
        return self.tri(own or read("parts.yaml")["columns"][column]["default"])

    def mixed(self, table: str, column: str, shares: dict[str, float]) -> Array:
        """A column of a table whose row is not known."""
        rows = read(f"materials/{table}.yaml")["rows"]
        which = self.rng.choice(len(shares), N, p=list(shares.values()))
        return np.choose(which, [self.tri(rows[row][column]) for row in shares])

    def skin(self, column: str) -> Array:
        return self.tri(read("materials/skins.yaml")["rows"]["vinyl_backed"][column])


def weights_of(fact: str, file: str, branch: int | None = None) -> dict[str, float]:
    prior = read(f"facts/{file}.yaml")[fact]["prior"]
    weights = prior["weights"] if branch is None else prior["by"][branch]["weights"]
    return {key: weight / sum(weights.values()) for key, weight in weights.items()}


@cache
def worked(feel: str) -> dict[str, Array]:
    """Every step for the armrest with a skin that feels so."""
    bench, v = Bench(), dict[str, Array]()
    _plasticizer(bench, v, feel)
    _skin(bench, v)
    _all_the_time(bench, v)
    v["weight"] = _answers(v, feel)
    _at_every_use(bench, v)
    return v


def _plasticizer(b: Bench, v: dict[str, Array], feel: str) -> None:
    parts, filler = b.node("vinyl.plasticizer"), b.node("vinyl.filler")
    volume = 100 / 1.40 + parts / 0.986 + filler / 2.7
    grams = 100 + parts + filler
    solid = b.mixed("vinyls", "solid_share", weights_of("skin.make", "1_part"))
    v["held"] = 1000 * SKIN * solid * (grams / volume) * (parts / grams)
    spread = read("facts/4_forces.yaml")["place.peak_temperature"]["prior"]["spread"]
    v["peak"] = b.tri(spread)
    kelvin = v["peak"] + 273.15
    heat = b.tri(nodes()["vinyl.vapour_pressure"]["inputs"]["evaporation_enthalpy"])
    # 38 ug/m3 over the pure plasticizer at 47 degC (Clausen et al. 2012), thinner when warm.
    vapour = 38 * np.exp(heat / GAS * (1 / 320.15 - 1 / kelvin)) * 320.15 / kelvin
    speed = b.tri(nodes()["vinyl.flux"]["inputs"]["mass_transfer"])
    hours = b.node("place.hot_hours") * YEARS
    v["air"] = speed * vapour * b.node("vinyl.volatility") * hours / 1e6 / v["held"]
    cleaned = weights_of("skin.cleaned", "2_damage", 0)
    how = b.rng.choice(3, N, p=[cleaned[key] for key in ("rarely", "mild", "strong")])
    rate = np.choose(how, [b.node("vinyl.extraction_rate", k) for k in (None, 1, 0)])
    v["cleaner"] = np.minimum(rate * YEARS / v["held"], 1)
    v["felt"] = b.node("vinyl.felt_loss", {"supple": None, "stiff": 0}[feel])
    v["behind"] = np.maximum(v["felt"] - v["air"] - v["cleaner"], 0)
    gone = np.minimum(v["air"] + v["cleaner"] + v["behind"], b.node("vinyl.most_lost"))
    liquid = parts / 0.986 / volume
    knit = weights_of("skin.backing", "1_part")
    which = b.rng.choice(3, N, p=list(knit.values()))
    rows = [read("materials/backings.yaml")["rows"][row] for row in knit]
    along = np.choose(which, [b.tri(row["in_plane"]) for row in rows])
    v["backing"] = np.choose(which, [b.tri(row["stiffness"]) for row in rows])
    ways = (v["air"], v["cleaner"], v["behind"])
    lost = sum((1 - np.cbrt(1 - liquid * way) for way in ways), np.zeros(N)) * along
    warm = np.where(v["peak"] >= 60, b.node("vinyl.forming_released", 1),
                    b.node("vinyl.forming_released"))  # fmt: skip
    v["strain"] = lost + b.node("vinyl.formed_in") * warm
    new = b.node("skin.new_shore")
    slope = b.tri(nodes()["skin.shore"]["inputs"]["slope"])
    v["hardening"] = _modulus(np.minimum(new + slope * parts * gone, 95)) / _modulus(new)


def _modulus(shore: Array) -> Array:
    gent = 0.0981 * (56 + 7.62336 * shore) / (0.137505 * (254 - 2.54 * shore))
    return np.sqrt(gent * 10 ** (0.0235 * shore - 0.6403))


def _answers(v: dict[str, Array], feel: str) -> Array:
    """How likely the answers were: what is told of feel and edges speaks of the loss."""
    gone = v["air"] + v["cleaner"]
    branches = read("facts/1_part.yaml")["skin.feel"]["prior"]["by"]
    by_loss = [k for k, row in enumerate(branches) if row["when"].get("node") == GONE]
    assert [branches[k]["when"]["at_least"] for k in by_loss] == ["0.26 1", "0.14 1"]
    felt = [weights_of("skin.feel", "1_part", k)[feel] for k in (*by_loss, None)]
    met = [weights_of("damage.edges_meet", "2_damage", k)["yes"] for k in (0, 1, None)]
    chance = np.select([gone >= 0.26, gone >= 0.14], felt[:2], felt[2])
    closed = np.select([v["seen"] >= 0.03, v["seen"] >= 0.015], met[:2], met[2])
    return np.asarray(chance * closed)


def _skin(b: Bench, v: dict[str, Array]) -> None:
    v["poisson"] = b.node("skin.poisson")
    v["new"] = b.skin("backed_stiffness") * v["backing"]
    v["stiffness"] = v["new"] * v["hardening"]
    # What was locked in while it was supple pulls as a supple skin.
    h = np.maximum(v["hardening"], 1 + 1e-6)
    v["locked_in"] = v["stiffness"] * (h - 1) / (h * np.log(h)) / (1 - v["poisson"])
    # Held from shrinking both ways.
    v["held_tight"] = v["stiffness"] / (1 - v["poisson"])
    minutes = YEARS * 365.25 * 24 * 60
    slope = b.node("skin.relaxation_exponent")
    v["relaxed"] = minutes**-slope / (1 - slope)
    v["relaxed_at_once"] = minutes**-slope
    open_for = b.node("split.open_for") * 365.25 * 24 * 60
    v["recovered"] = open_for**slope
    v["firm"] = b.tri(read("materials/cores.yaml")["rows"]["foam_semi_rigid"]["plateau"])
    v["foam"] = v["firm"] / 0.05


def _all_the_time(b: Bench, v: dict[str, Array]) -> None:
    below = v["foam"] * 0.7 / (1.3 * 0.4) / PADDING
    radius = b.part("radius")
    # What the cover gains by squeezing the padding round which it is drawn.
    v["padding"] = below * radius**2 / (1 - v["poisson"])
    stays = v["padding"] / (v["padding"] + v["held_tight"])
    v["shrinking"] = v["locked_in"] * v["strain"] * v["relaxed"] * stays
    v["fit"] = v["new"] / (1 - v["poisson"]) * b.part("fit_strain") * v["relaxed_at_once"]
    rise = b.node("core.swelling_here") * PADDING * 1.3 / 0.7
    lifted = rise * below / (below + v["stiffness"] / radius**2)
    v["swelling"] = v["stiffness"] * lifted / radius
    v["sustained"] = v["shrinking"] + v["fit"] + v["swelling"]
    v["closing"] = v["sustained"] * v["recovered"]
    v["seen"] = v["closing"] / v["held_tight"]


def _at_every_use(b: Bench, v: dict[str, Array]) -> None:
    v["uses"] = b.node("people.uses", 1)
    often = (v["uses"] / 1e5) ** 0.12
    force, grip, width = b.part("lean_force"), b.node("people.friction"), b.part("slide_width")
    v["force"], v["grip"], v["width"] = force, grip, width
    v["drag"] = grip * force / (2 * width) * often
    area = b.part("lean_area")
    press = force / area
    dent = 0.8 * PADDING * press / (press + 2 * v["firm"])
    half = np.sqrt(area / np.pi) + PADDING
    pulled = np.sqrt(1 + (dent / half) ** 2) - 1
    v["dent"] = v["stiffness"] * pulled * b.node("skin.drawn_in") * often
    v["cold"] = _frost(b, v)
    v["cyclic"] = v["drag"] + v["dent"] + v["cold"]
    riders = b.node("people.riders", 1)
    z = np.array([NormalDist().inv_cdf(0.5 ** (1 / n)) for n in riders])
    heaviest = np.minimum(78 * np.exp(0.27 * z), 180) * b.node("people.hardest_day")
    rising = heaviest * 9.81 * b.part("push_share")
    v["hardest"] = grip * rising / (2 * width) + b.part("touch_pull")


def _frost(b: Bench, v: dict[str, Array]) -> Array:
    """Skin and pad in series, summed degree by degree while it cools through the night."""
    warm, cold = b.node("place.stress_free"), b.node("place.night_minimum", 1)
    above = b.tri(nodes()["skin.cold_pull"]["inputs"]["b_warm"])
    under = b.node("skin.cold_stiffening", 0)
    foam = b.tri(nodes()["skin.cold_pull"]["inputs"]["b_base"])
    total = np.zeros(N)
    steps = 200
    for k in range(steps):
        at = cold + (warm - cold) * (k + 0.5) / steps
        skin = v["held_tight"] * np.exp(-np.where(at < 23, under, above) * (at - 23))
        below = v["padding"] * np.exp(-foam * (at - 23))
        total += skin * below / (skin + below) * (warm - cold) / steps
    nights = (b.node("place.cold_nights") / 1e5) ** 0.12
    slope = b.node("frost.exponent", 0)
    night = (8 * 360) ** -slope / (1 - slope)
    v["coldest"] = cold
    return b.node("frost.expansion_on_pad", 0) * total * night * nights


# ---- the joints -----------------------------------------------------------------------------


@cache
def joints() -> dict[str, dict[str, Array]]:
    """Capacity and shares of the weakest point of the hand stitch, and of glue."""
    b, v = Bench(), worked("supple")
    b.rng = np.random.default_rng(21)
    warm = np.minimum(v["peak"], b.node("place.warm_limit"))
    at_80 = b.skin("at_80")
    pitch, needle = b.node("seam.pitch"), b.node("seam.needle")
    left = b.node("skin.strength_left")
    glue = read("methods/adhesive_bond.yaml")["nodes"]
    table = ([23, 50, 70, 80, 100], [1, 0.7, 0.5, 0.4, 0.25])
    fresh = np.minimum(b.tri(glue["peel_strength"]["draw"]), left * b.tri(glue["new_cap"]["draw"]))
    return {
        "Hand stitch": {
            "capacity, N/mm": b.skin("line_strength") * left * (pitch - needle) / pitch,
            "fs": b.skin("sustained"), "fc": b.skin("cyclic"),
            "hot": 1 - (1 - at_80) * (v["peak"] - 23) / 57,
            "warm": 1 - (1 - at_80) * (warm - 23) / 57,
            "cold": 1 + (b.node("skin.at_minus_15", 0) - 1) * (23 - v["coldest"]) / 38,
        },
        "Glue": {
            "capacity, N/mm": fresh * b.skin("wet_face_bond"),
            "fs": b.tri(glue["peel_sustained"]["draw"]),
            "fc": b.tri(glue["peel_cyclic"]["draw"]),
            "hot": np.interp(v["peak"], *table), "warm": np.interp(warm, *table),
            "cold": np.ones(N),
        },
    }  # fmt: skip


def usage(joint: dict[str, Array]) -> dict[str, Array]:
    v, carried = worked("supple"), joint["capacity, N/mm"]
    return {
        "sustained": v["sustained"] / (carried * joint["fs"] * joint["hot"]),
        "cyclic": (v["cyclic"] - v["cold"]) / (carried * joint["fc"] * joint["warm"])
        + v["cold"] / (carried * joint["fc"] * joint["cold"]),
        "peak": v["hardest"] / (carried * joint["warm"]),
    }
