"""What must be true of the relations whatever the numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import advisor.mechanics  # noqa: F401  (registers every relation)
from advisor.mechanics import (
    bond,
    foam,
    occupant,
    plasticizer,
    seam,
    split,
    suspension,
    tension,
    vinyl,
)
from advisor.mechanics.relation import RELATIONS, Relation

BY_UNIT = {
    "N": (1.0, 400.0),
    "mm": (1.0, 60.0),
    "mm2": (500.0, 6000.0),
    "m2": (0.05, 5.0),
    "MPa": (0.05, 50.0),
    "N/mm": (0.1, 20.0),
    "mm2/N": (0.05, 30.0),
    "1": (0.02, 0.45),
    "1/K": (1e-5, 0.1),
    "1/%": (2e-4, 9e-4),
    "%": (5.0, 95.0),
    "K": (0.0, 40.0),
    "degC": (-20.0, 90.0),
    "deg": (1.0, 179.0),
    "kg": (40.0, 150.0),
    "kg/m2": (0.5, 10.0),
    "kg/mol": (0.2, 0.6),
    "kJ/mol": (80.0, 120.0),
    "yr": (0.0, 30.0),
    "h": (1.0, 1e4),
    "m/h": (1.0, 5.0),
    "tex": (40.0, 400.0),
    "Pa": (1e-6, 1.0),
    "g/cm3": (0.8, 1.5),
    "g/m2": (50.0, 600.0),
    "g/(m2 yr)": (0.0, 12.0),
    "m/s2": (10.0, 500.0),
    "ug/m3": (0.0, 3000.0),
    "ug/(m2 h)": (0.0, 1e4),
}
BY_NAME = {
    "radius": (50.0, 100.0),
    "pad_radius": (1.0, 40.0),
    "plasticizer_phr": (30.0, 90.0),
    "filler_phr": (0.0, 40.0),
    "other_phr": (0.0, 40.0),
    "filler_density": (2.0, 3.0),
    "new_hardness": (60.0, 80.0),
    "hardness": (60.0, 95.0),
    "lost": (0.0, 0.6),
    "slope": (0.5, 0.7),
    "creep_modulus": (100.0, 900.0),
    "modulus": (1.0, 3000.0),
}


def range_of(one: Relation, name: str) -> tuple[float, float]:
    """Where to draw an argument: its valid range, else what its name or unit suggests."""
    return one.valid.get(name) or BY_NAME.get(name) or BY_UNIT[one.inputs[name]]


@pytest.mark.parametrize("one", RELATIONS.values(), ids=lambda one: one.name)
@settings(max_examples=15, deadline=None)
@given(data=st.data())
def test_an_array_gives_what_its_elements_give(one: Relation, data: st.DataObject) -> None:
    rows = {
        name: data.draw(
            st.lists(st.floats(*range_of(one, name)), min_size=4, max_size=4), label=name
        )
        for name in one.inputs
    }
    together = one.function(**{name: np.array(row) for name, row in rows.items()})
    singly = [one.function(**{name: row[i] for name, row in rows.items()}) for i in range(4)]
    assert together.shape == (4,)
    assert all(isinstance(value, float) for value in singly)
    assert np.all(np.isfinite(together))
    np.testing.assert_allclose(together, singly, rtol=1e-10, atol=1e-12)


strain = st.floats(0.0, 0.05)
stiff = st.floats(0.5, 30.0)
poisson = st.floats(0.0, 0.49)
pitch = st.floats(1.5, 15.0)
degrees = st.floats(-25.0, 90.0)
slope = st.floats(0.01, 0.12)


@given(stiff, poisson, strain, strain)
def test_more_shrinkage_never_lowers_tension(
    stiffness: float, nu: float, one: float, other: float
) -> None:
    less, more = sorted((one, other))
    loose, tight = (tension.restrained_tension(stiffness, eps, nu) for eps in (less, more))
    assert loose <= tight
    assert tight >= stiffness * more, "held both ways pulls harder than held one way"


@given(pitch, pitch, st.floats(1.5, 15.0), st.floats(10.0, 100.0), st.floats(3.0, 20.0))
def test_wider_pitch_never_raises_capacity(
    one: float, other: float, hole_pitch: float, thread_strength: float, skin: float
) -> None:
    close, wide = sorted((one, other))

    def capacity(p: float) -> float:
        return float(min(
            seam.thread_capacity(thread_strength, 1.5, p), seam.hole_capacity(45.0, p),
            seam.ligament_capacity(skin, hole_pitch, 1.1),
        ))  # fmt: skip

    assert capacity(wide) <= capacity(close)


def test_holes_that_run_together_carry_nothing() -> None:
    assert seam.ligament_capacity(10.0, 1.5, 2.0) == 0.0


@given(stiff, degrees, degrees, slope, slope)
def test_cooling_never_pushes(
    stiffness: float, warm: float, cold: float, b_warm: float, b_cold: float
) -> None:
    t = tension.cooling_tension(stiffness, 0.45, 8e-5, warm, cold, b_warm, b_cold)
    if cold >= warm:
        assert t == 0.0
    else:
        assert t >= 0.0
        colder = tension.cooling_tension(stiffness, 0.45, 8e-5, warm, cold - 5, b_warm, b_cold)
        assert colder > t


@given(stiff, degrees, degrees, slope, slope)
def test_cooling_adds_up_the_modulus_on_the_way(
    stiffness: float, one: float, other: float, b_warm: float, b_cold: float
) -> None:
    cold, warm = sorted((one, other))
    # Two smooth stretches, so that the corner at 23 degC falls on a grid point.
    middle = min(max(23.0, cold), warm)
    total = 0.0
    for low, high in ((cold, middle), (middle, warm)):
        grid = np.linspace(low, high, 2001)
        slopes = np.where(grid < 23.0, b_cold, b_warm)
        modulus = stiffness * np.exp(-slopes * (grid - 23.0))
        total += float(np.sum(0.5 * (modulus[1:] + modulus[:-1]) * np.diff(grid)))
    expected = 8e-5 / 0.55 * total
    found = tension.cooling_tension(stiffness, 0.45, 8e-5, warm, cold, b_warm, b_cold)
    assert found == pytest.approx(expected, rel=1e-5, abs=1e-12)


@given(st.floats(5.0, 200.0), st.floats(5.0, 500.0), st.floats(5.0, 500.0), poisson)
def test_a_longer_split_opens_wider_up_to_a_limit(
    lag: float, far: float, length: float, nu: float
) -> None:
    gap = split.split_gap(0.01, lag, far, length, nu)
    assert gap < split.split_gap(0.01, lag, far, 1.2 * length, nu)
    assert gap <= split.split_gap(0.01, lag, far, 1e9, nu)
    # A slit in a loose sheet is the most that one of this length can open: 2 eps a/(1 - nu).
    assert gap * (1.0 - nu) / (2.0 * length) <= 0.01 * (1 + 1e-12)


@given(stiff, stiff, st.floats(1.0, 100.0))
def test_a_lap_of_unlike_skins_is_no_stronger_than_its_stiffer_pair(
    one: float, other: float, overlap: float
) -> None:
    def capacity(k1: float, k2: float) -> float:
        return float(bond.lap_capacity(1.5, 0.5, 0.2, k1, k2, overlap))

    assert capacity(one, other) == pytest.approx(capacity(other, one))
    assert capacity(one, other) <= capacity(max(one, other), max(one, other)) * (1 + 1e-12)


@given(
    st.floats(1.0, 300.0), st.floats(200.0, 900.0), st.floats(0.0, 80.0), st.floats(200.0, 900.0)
)
def test_a_strand_carries_its_load(load: float, span: float, pull: float, stretch: float) -> None:
    sag = float(suspension.strand_sag(load, span, pull, stretch))
    tension = float(suspension.strand_tension(load, span, pull, stretch))
    assert 8.0 * tension * sag / span == pytest.approx(load, rel=1e-9)
    assert suspension.strand_sag(1.1 * load, span, pull, stretch) > sag
    assert suspension.strand_sag(load, span, pull + 5.0, stretch) < sag


@given(st.floats(0.01, 1.0), st.floats(10.0, 500.0), st.floats(1000.0, 6000.0))
def test_a_dent_stays_within_the_padding(plateau: float, force: float, area: float) -> None:
    depth = occupant.elbow_dent(force, area, plateau, 20.0)
    assert 0.0 < depth < 16.0
    assert occupant.elbow_dent(force, area, 2 * plateau, 20.0) < depth
    assert occupant.dent_half_width(area, 20.0) > occupant.contact_half_width(area)


@given(st.floats(0.0, 40.0), st.floats(0.0, 40.0), st.floats(0.05, 0.12))
def test_waiting_never_raises_what_is_left(one: float, other: float, n: float) -> None:
    young, old = sorted((one, other))
    assert 0.0 < vinyl.relaxation(old, n) <= vinyl.relaxation(young, n) <= 1.0
    assert vinyl.relaxation(old, n) <= vinyl.ramp_relaxation(old, n) <= 1.0


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(20.0, 100.0))
def test_losing_more_plasticizer_shrinks_more(one: float, other: float, phr: float) -> None:
    less, more = sorted((one, other))
    shrink = [plasticizer.shrinkage_from_loss(f, phr, 0.0, 1.4, 0.986, 2.7) for f in (less, more)]
    assert 0.0 <= shrink[0] <= shrink[1] < 0.4


@given(st.floats(1.0, 100.0), st.floats(1.0, 100.0), st.floats(1.0, 40.0))
def test_more_overlap_never_weakens_a_lap(one: float, other: float, stiffness: float) -> None:
    short, long = sorted((one, other))

    def capacity(overlap: float) -> float:
        return float(bond.lap_capacity(1.5, 0.5, 0.2, stiffness, stiffness, overlap))

    assert capacity(short) <= capacity(long)
    assert capacity(long) / long <= 1.5 * (1 + 1e-12), "the peak is above the mean"


@given(st.floats(0.0, 180.0), st.floats(0.0, 180.0), stiff, st.floats(0.05, 4.0))
def test_a_steeper_pull_peels_sooner(
    one: float, other: float, stiffness: float, peel: float
) -> None:
    flat, steep = sorted((one, other))
    q = [float(bond.peel_line_load(peel, angle, stiffness)) for angle in (flat, steep)]
    assert q[1] <= q[0] * (1 + 1e-12)
    energy = q[0] * (1 - math.cos(math.radians(flat))) + q[0] ** 2 / (2 * stiffness)
    assert energy == pytest.approx(peel, rel=1e-9)


@given(st.floats(0.05, 2.0), st.floats(0.0, 0.44), st.floats(1.0, 40.0))
def test_padding_takes_its_share(modulus: float, nu: float, thickness: float) -> None:
    def share(by: float, radius: float) -> float:
        base = tension.squeeze_stiffness(by * modulus, nu, thickness, radius, 0.42)
        return float(tension.series_share(10.0, base))

    assert 0.0 < share(1.0, 30.0) < share(2.0, 30.0) < share(2.0, 90.0) < 1.0
    assert foam.foam_confined_modulus(modulus, nu) >= modulus
