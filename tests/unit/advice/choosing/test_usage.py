"""Usage of joints: one case worked out again from the formulas, and what follows from it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.choosing.working import work_out
from advisor.advice.explaining.reasons import loads_of
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.nodes import Draw, Fold, Ref, TableDraw
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import point_valued, split_seam

EXACT = split_seam(
    vehicle__use="shuttle", vehicle__age=7, place__climate="frosty", place__sun="usual",
    skin__thickness=1.1, skin__feel="supple", core__material="foam_semi_rigid",
    core__thickness=22, core__state="springs_back", skin__make="solid", skin__backing="knit",
    skin__cleaned="mild", carrier__state="sound",
    access__back="comes_off", damage__length=120, damage__count=1, damage__failed="thread",
    damage__hole_state="intact", damage__edges_meet=True, damage__growing=True,
    load__leaned_on=True, place__peak_temperature=60, earlier__adhesive_bond=True,
    skin__dressed=False, wish__looks="usual", part__available=False,
)  # fmt: skip


class ByHand:
    """The pull across a split armrest seam from typical values, formula by formula.

    Only what is drawn or tabulated is taken from the worlds; every relation is written
    out again here, after the publications that its node names.
    """

    def __init__(self, worlds: SampledWorlds) -> None:
        self.worlds = worlds

    def leaf(self, name: str) -> float:
        node = self.worlds.pack.nodes.get(name)
        assert node is None or isinstance(node.operation, Draw | TableDraw), name
        column = self.worlds.values[name]
        assert np.ptp(column) == 0.0, name
        return float(column[0])

    def stiffness(self) -> float:
        new = self.leaf("skin.kind_stiffness") * self.leaf("skin.backing_stiffness")
        return new * self.modulus(self.hardness()) / self.modulus(self.leaf("skin.new_shore"))

    def locked(self) -> float:
        """Stiffness with which its shrinkage pulls: (h - 1)/(h ln h) of that of today."""
        h = self.modulus(self.hardness()) / self.modulus(self.leaf("skin.new_shore"))
        return self.stiffness() * (h - 1.0) / (h * math.log(h))

    @staticmethod
    def modulus(shore: float) -> float:
        """Geometric mean of Gent 1958 and Ruess."""
        gent = 0.0981 * (56 + 7.62336 * shore) / (0.137505 * (254 - 2.54 * shore))
        return math.sqrt(gent * 10 ** (0.0235 * shore - 0.6403))

    def hardness(self) -> float:
        lost = min(sum(self.gone().values()), self.leaf("vinyl.most_lost"))
        rise = self.leaf("skin.shore.slope") * self.leaf("vinyl.plasticizer") * lost
        return min(self.leaf("skin.new_shore") + rise, 95.0)

    def held(self) -> float:
        """Plasticizer of a square metre of skin, g."""
        p, f = self.leaf("vinyl.plasticizer"), self.leaf("vinyl.filler")
        volume = 100 / 1.40 + p / 0.986 + f / 2.7
        return 1e3 * 1.1 * self.leaf("vinyl.solid_share") * p / volume

    def gone(self) -> dict[str, float]:
        """Shares of the plasticizer gone into the air, into cleaner and behind the skin."""
        leaf, kelvin = self.leaf, 273.15 + 60
        enthalpy = leaf("vinyl.vapour_pressure.evaporation_enthalpy")
        rise = math.exp(enthalpy / 8.314462618e-3 * (1 / 320.15 - 1 / kelvin))
        vapour = 38.0 * rise * 320.15 / kelvin * leaf("vinyl.volatility")
        grams = 1e-6 * leaf("vinyl.flux.mass_transfer") * vapour * leaf("place.hot_hours") * 7
        air, cleaner = grams / self.held(), leaf("vinyl.extraction_rate") * 7 / self.held()
        return {"evaporation": air, "extraction": cleaner,
                "uptake": max(leaf("vinyl.felt_loss") - air - cleaner, 0.0)}  # fmt: skip

    def shrunk(self, lost: float) -> float:
        """In-plane shrinkage of vinyl on its knit, from the volume that is gone."""
        p, f = self.leaf("vinyl.plasticizer"), self.leaf("vinyl.filler")
        before = 100 / 1.40 + p / 0.986 + f / 2.7
        after = before - p / 0.986 * lost
        return (1 - (after / before) ** (1 / 3)) * self.leaf("vinyl.cloth_gives")

    def relaxed(self) -> float:
        n = self.leaf("skin.relaxation_exponent")
        return min(1.0, (7 * 365.25 * 24 * 60) ** -n / (1 - n))

    def causes(self) -> dict[str, float]:
        leaf, k, nu = self.leaf, self.stiffness(), self.leaf("skin.poisson")
        plateau, h = leaf("core.kind_plateau"), leaf("core.thickness")
        e = plateau / 0.05
        confined = e * 0.7 / (1.3 * 0.4)
        radius = leaf("part.radius")
        foam = confined * radius**2 / h / (1 - nu)
        kf, ks = confined / h, k / radius**2
        rise = leaf("core.swelling_here") * h * 1.3 / 0.7
        uses = (leaf("people.uses") / 1e5) ** 0.12
        mu, width = leaf("people.friction"), leaf("part.slide_width")
        force, area = leaf("part.lean_force"), leaf("part.lean_area")
        dent = 0.8 * h * (force / area) / (force / area + 2 * plateau)
        flank = math.hypot(1.0, dent / (math.sqrt(area / math.pi) + h)) - 1.0
        # Of two thousand riders the heaviest is heavier than any that is calculated with.
        assert leaf("people.riders") == 2000.0
        push = leaf("part.push_share") * 180.0 * leaf("people.hardest_day") * 9.81
        new = self.leaf("skin.kind_stiffness") * self.leaf("skin.backing_stiffness")
        step = (7 * 365.25 * 24 * 60) ** -leaf("skin.relaxation_exponent")
        still = self.locked() / (1 - nu) * self.relaxed() * foam / (k / (1 - nu) + foam)
        formed = leaf("vinyl.formed_in") * leaf("vinyl.forming_released")
        return {
            **{f"load.{way}": still * self.shrunk(lost) for way, lost in self.gone().items()},
            "load.forming": still * formed,
            "load.leather": 0.0, "load.cloth": 0.0, "load.scuff": 0.0, "load.heel": 0.0,
            "load.noon": 0.0, "load.void": 0.0,
            "load.fit_old": new * leaf("part.fit_strain") / (1 - nu) * step,
            "load.swelling": k * rise * kf / (kf + ks) / radius,
            "load.roof_fit": 0.0,
            "load.cold": self.cold(),
            "load.lean_dent": k * flank * leaf("skin.drawn_in") * uses,
            "load.lean_drag": mu * force / (2 * width) * uses,
            "load.sit": 0.0, "load.slide": 0.0, "load.grip": 0.0, "load.wind": 0.0,
            "load.push_off": mu * push / (2 * width),
            "load.kneel": 0.0, "load.drop_back": 0.0, "load.fold": 0.0,
            "load.touch": leaf("load.touch"),
        }  # fmt: skip

    def cold(self) -> float:
        """Skin and pad in series over the cooling, relaxed through a night of eight hours."""
        leaf = self.leaf
        warm, night = leaf("place.stress_free"), leaf("place.night_minimum")
        grid = np.linspace(night, warm, 200_001)
        slope = np.where(grid < 23.0, leaf("skin.cold_stiffening"), leaf("skin.cold_pull.b_warm"))
        skin = self.stiffness() / (1 - leaf("skin.poisson")) * np.exp(-slope * (grid - 23.0))
        e = leaf("core.kind_plateau") / 0.05
        confined = e * 0.7 / (1.3 * 0.4)
        pad = confined * leaf("part.radius") ** 2 / leaf("core.thickness")
        pad = pad / (1 - leaf("skin.poisson"))
        pad = pad * np.exp(-leaf("skin.cold_pull.b_base") * (grid - 23.0))
        pull = leaf("frost.expansion_on_pad") * np.trapezoid(skin * pad / (skin + pad), grid)
        n = leaf("frost.exponent")
        left = (8 * 360) ** -n / (1 - n)
        return float(pull) * left * (leaf("place.cold_nights") / 1e5) ** 0.12

    def cold_gain(self) -> float:
        """Vinyl in frost is stronger than at room temperature."""
        cooled = 23 - self.leaf("place.night_minimum")
        return 1 + (self.leaf("skin.at_minus_15") - 1) * cooled / 38

    def cyclic(self, carried: float, warm: float, cold: float, around: float) -> float:
        """Usage by what comes again and again; what frost brings meets a cold joint."""
        rest = self.demand("cyclic") - self.cold()
        return rest / (carried * warm + around) + self.cold() / (carried * cold + around)

    def around(self, method: str) -> float:
        """What the skin around the split bears; its opening has published checks of its own."""
        return self.leaf(f"{method}.follows") / float(self.worlds.values["cut.opening"][0])

    def demand(self, duration: str) -> float:
        node = self.worlds.pack.nodes[f"demand.skin_{duration}"]
        assert isinstance(node.operation, Fold) and node.operation.kind == "sum"
        return sum(self.causes()[name] for name in node.operation.names())


def falls(at_80: float, temperature: float) -> float:
    """Straight line through 1 at 23 degC."""
    return 1 - (1 - at_80) * (temperature - 23) / 57


@pytest.fixture(scope="module")
def worlds(pack: RulePack) -> SampledWorlds:
    return SampledWorlds(EXACT, point_valued(pack), 8)


@pytest.fixture(scope="module")
def by_hand(worlds: SampledWorlds) -> ByHand:
    return ByHand(worlds)


def outcome(worlds: SampledWorlds, key: str) -> MethodOutcome:
    return MethodOutcome(worlds.pack.methods[key], worlds)


def test_every_cause_as_by_hand(worlds: SampledWorlds, by_hand: ByHand) -> None:
    for name, expected in by_hand.causes().items():
        assert worlds.values[name] == pytest.approx(expected, rel=1e-6, abs=1e-12), name
    assert by_hand.causes()["load.extraction"] > 0.001


@pytest.mark.parametrize("duration", ["sustained", "cyclic", "peak"])
def test_demand_as_by_hand(duration: str, worlds: SampledWorlds, by_hand: ByHand) -> None:
    found = worlds.values[f"demand.skin_{duration}"]
    assert found == pytest.approx(by_hand.demand(duration), rel=1e-6)


def test_thread_usage_as_by_hand(worlds: SampledWorlds, by_hand: ByHand) -> None:
    leaf = by_hand.leaf
    own = {name: leaf(f"hand_stitch.{name}") for name in
           ("thread_strength", "loop_factor", "thread_sustained", "thread_cyclic")}  # fmt: skip
    q = own["loop_factor"] * own["thread_strength"] / leaf("seam.pitch")
    hot = falls(leaf("hand_stitch.thread_heat_soak.at_80"), 60)
    around = by_hand.around("hand_stitch")
    terms = {
        "sustained": by_hand.demand("sustained") / (q * own["thread_sustained"] * hot + around),
        "cyclic": by_hand.demand("cyclic") / (q * own["thread_cyclic"] + around),
        "peak": by_hand.demand("peak") / (q + around),
    }
    (joint,) = outcome(worlds, "hand_stitch").joints
    mode = next(mode for mode in joint.modes if mode.mode.key == "thread")
    for duration, expected in terms.items():
        assert mode.terms[duration] == pytest.approx(expected, rel=1e-6), duration
    assert mode.total == pytest.approx(sum(terms.values()), rel=1e-6)


def test_hole_and_ligament_usage_as_by_hand(worlds: SampledWorlds, by_hand: ByHand) -> None:
    leaf, pitch = by_hand.leaf, by_hand.leaf("seam.pitch")
    warmest = min(60.0, leaf("place.warm_limit"))
    soak, use = falls(leaf("skin.at_80"), 60), falls(leaf("skin.at_80"), warmest)
    left = leaf("skin.strength_left")
    hole = leaf("skin.new_hole_strength") * left * leaf("skin.holes_left")
    q = {"hole": hole * leaf("skin.residue_left") / pitch,
         "ligament": leaf("skin.new_line_strength") * left
         * (pitch - leaf("seam.needle")) / pitch}  # fmt: skip
    (joint,) = outcome(worlds, "hand_stitch").joints
    totals = {mode.mode.key: float(mode.total[0]) for mode in joint.modes}
    around = by_hand.around("hand_stitch")
    for key, carried in q.items():
        expected = (
            by_hand.demand("sustained") / (carried * leaf("skin.sustained_factor") * soak + around)
            + by_hand.cyclic(
                carried * leaf("skin.cyclic_factor"), use, by_hand.cold_gain(), around
            )
            + by_hand.demand("peak") / (carried * use + around)
        )
        assert totals[key] == pytest.approx(expected, rel=1e-6), key
    weakest = max(totals, key=lambda key: totals[key])
    assert joint.modes[joint.limiting[0]].mode.key == weakest
    assert joint.usage == pytest.approx(totals[weakest])


def test_glue_usage_as_by_hand(worlds: SampledWorlds, by_hand: ByHand) -> None:
    leaf = by_hand.leaf
    finish = leaf("adhesive_bond.new_cap") * leaf("skin.strength_left")
    peel = min(leaf("adhesive_bond.peel_strength"), finish)
    q = peel * leaf("skin.bond_left")
    warmest = min(60.0, leaf("place.warm_limit"))
    hot = 0.7 + (0.5 - 0.7) * (60 - 50) / (70 - 50)
    warm = 1 + (0.7 - 1) * (warmest - 23) / (50 - 23)
    # What the skin around a short split carries, in the glue's place: it ages with neither.
    around = by_hand.around("adhesive_bond")
    expected = (
        by_hand.demand("sustained") / (q * leaf("adhesive_bond.peel_sustained") * hot + around)
        + by_hand.cyclic(q * leaf("adhesive_bond.peel_cyclic"), warm, 1.0, around)
        + by_hand.demand("peak") / (q * warm + around)
    )
    glue = outcome(worlds, "adhesive_bond")
    (joint,) = (j for j in glue.joints if j.joint.site == "skin")
    assert joint.usage == pytest.approx(expected, rel=1e-6)
    assert expected > 1.0


def test_every_other_hole_carries_half(worlds: SampledWorlds) -> None:
    """Every other hole: twice the pitch of loaded holes, so half the strength of thread and hole.

    The skin around the split bears the same, so the usage is a little less than twice.
    """
    full = outcome(worlds, "hand_stitch").joints[0]
    half = outcome(worlds, "hand_stitch.every_other_hole").joints[0]
    for key in ("thread", "hole"):
        one, other = (
            next(m for m in joint.modes if m.mode.key == key) for joint in (full, half)
        )
        strength = [float(np.ravel(m.mode.capacity.get(worlds))[0]) for m in (one, other)]
        assert strength[0] == pytest.approx(2 * strength[1], rel=1e-6), key
        assert 1.5 < float(other.total[0]) / float(one.total[0]) < 2.0, key


def test_holding_is_usage_within_one(pack: RulePack) -> None:
    """World by world: reliability where every loaded joint is within its usage, else nothing."""
    working = work_out(split_seam(skin__feel="stiff"), pack, 256)
    n, values = working.situation.worlds.n, working.situation.worlds.values
    for method in working.situation.outcomes.values():
        for need in method.method.meets:
            found = method.holds(need)
            for i in range(n):
                joints = [j for j in method.joints if need in j.joint.meets and j.applies[i]]
                expected = method.method.reliability.mean
                if method.method.each_place.name is not None:
                    places = round(values["damage.count"][i])
                    expected **= 1 + (places - 1) * (1 - values["places.together"][i])
                if any(not j.usage[i] <= 1.0 for j in joints):
                    expected = 0.0
                if not joints and any(need in j.meets for j in method.method.joints):
                    expected = 0.0
                assert found[i] == pytest.approx(expected), (method.method.key, need, i)


def test_weakest_mode_is_the_limit_in_every_world(pack: RulePack) -> None:
    worlds = SampledWorlds(split_seam(), pack, 512)
    for key in ("hand_stitch", "machine_restitch", "recover_panel"):
        for joint in outcome(worlds, key).joints:
            totals = np.stack([mode.total for mode in joint.modes])
            assert np.array_equal(joint.usage, totals.max(axis=0))
            assert np.array_equal(totals[joint.limiting, np.arange(512)], joint.usage)
            for mode in joint.modes:
                assert mode.total == pytest.approx(sum(mode.terms.values()))


def test_nothing_carried_is_without_bound_and_no_pull_is_no_usage(pack: RulePack) -> None:
    method = pack.methods["hand_stitch"]
    nothing = Ref(None, 0.0)
    mode = replace(method.joints[0].modes[0], capacity=nothing, relief=nothing)
    bare = replace(method, joints=(replace(method.joints[0], modes=(mode,)),))
    worlds = SampledWorlds(split_seam(), pack, 64)
    (joint,) = MethodOutcome(bare, worlds).joints
    assert np.all(np.isinf(joint.usage))
    worlds = SampledWorlds(split_seam(), pack, 64)
    for duration in ("sustained", "cyclic", "peak"):
        worlds.values[f"demand.skin_{duration}"] = np.zeros(64)
    (joint,) = MethodOutcome(bare, worlds).joints
    assert np.all(joint.usage == 0.0)


@pytest.mark.parametrize("site", ["skin", "cover", "edge", "lining", "carrier", "fixing"])
def test_causes_add_up_to_the_demand(site: str, pack: RulePack) -> None:
    """In every world, not on the mean; nothing that pulls goes unnamed."""
    worlds = SampledWorlds(split_seam(), pack, 512)
    for load in loads_of(worlds, [site]):
        node = getattr(pack.sites[site], load.duration)
        fold = pack.nodes[node].operation
        assert isinstance(fold, Fold) and all(ref.name is not None for ref in fold.refs)
        parts = {name: worlds.values[name] for name in fold.names()}
        assert worlds.values[node] == pytest.approx(sum(parts.values()))
        pulling = {name for name, part in parts.items() if worlds.quantiles(part)[2] > 0.0}
        assert {cause.node for cause in load.causes} == pulling
        assert load.causes == tuple(sorted(load.causes, key=lambda c: -c.value.typical))
        assert 0.0 <= load.value.low <= load.value.typical <= load.value.high
