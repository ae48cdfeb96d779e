"""Plasticized vinyl (soft PVC): make-up, glass transition, stiffness over heat and years."""

from __future__ import annotations

import numpy as np

from advisor.mechanics.arith import maximum, power, sqrt
from advisor.mechanics.relation import Real, relation

ZERO_CELSIUS = 273.15  # K
ROOM = 23.0  # degC, at which hardness and modulus are tested
MINUTES_PER_YEAR = 365.25 * 24.0 * 60.0

GENT = "Gent 1958, Rubber Chem. Technol. 31, 896-906"
RUESS = "Ruess relation log10 E = 0.0235 S - 0.6403, as tabulated for elastomer hardness"
NUTTING = "Nutting 1921 power law; exponent for soft PVC from memory"


@relation(
    inputs={"shore_a": "1"}, result="MPa", valid={"shore_a": (30.0, 95.0)}, source=GENT
)
def youngs_modulus_gent(shore_a: Real) -> Real:
    """Young's modulus of a soft skin from its hardness, after Gent.

    ``E = 0.0981 (56 + 7.62336 S) / [0.137505 (254 - 2.54 S)]``

    shore_a: Shore A hardness S at 23 degC [1]
    Result: E at small strain [MPa]
    Valid: 30 to 95 Shore A; grows without bound towards 100.
    Source: Gent 1958, Rubber Chem. Technol. 31.
    """
    return 0.0981 * (56.0 + 7.62336 * shore_a) / (0.137505 * (254.0 - 2.54 * shore_a))


@relation(
    inputs={"shore_a": "1"}, result="MPa", valid={"shore_a": (30.0, 95.0)}, source=RUESS
)
def youngs_modulus_ruess(shore_a: Real) -> Real:
    """Young's modulus of a soft skin from its hardness, after Ruess.

    ``log10 E = 0.0235 S - 0.6403`` (base ten; base e would be wrong four- to sixfold)

    shore_a: Shore A hardness S at 23 degC [1]
    Result: E at small strain [MPa]
    Valid: 30 to 95 Shore A; about twice Gent at the hard end.
    Source: the relation is quoted in the elastomer literature under this name.
    """
    return power(10.0, 0.0235 * shore_a - 0.6403)


@relation(
    inputs={"shore_a": "1"},
    result="MPa",
    valid={"shore_a": (30.0, 95.0)},
    source=f"{GENT}; {RUESS}; their geometric mean is an own estimate",
)
def youngs_modulus_from_shore(shore_a: Real) -> Real:
    """Young's modulus of a soft skin from its hardness, between Gent and Ruess.

    ``E = sqrt(E_Gent E_Ruess)``

    shore_a: Shore A hardness S at 23 degC [1]
    Result: E at small strain [MPa]
    Valid: 30 to 95 Shore A, within a factor of about 1.5.
    Source: Gent 1958 and Ruess; the mean of the two is an own estimate.
    """
    return sqrt(youngs_modulus_gent(shore_a) * youngs_modulus_ruess(shore_a))


@relation(
    inputs={"plasticizer_phr": "1", "other_phr": "1"},
    result="1",
    valid={"plasticizer_phr": (0.0, 150.0), "other_phr": (0.0, 150.0)},
    source="definition of parts per hundred of resin",
)
def plasticizer_mass_fraction(plasticizer_phr: Real, other_phr: Real) -> Real:
    """Plasticizer as a mass fraction of the whole compound.

    ``w = P / (100 + P + F)``

    plasticizer_phr: plasticizer P per hundred parts of resin [1]
    other_phr: filler and stabilizer F per hundred parts of resin [1]
    Result: mass fraction w [1]
    Valid: any recipe.
    Source: definition.
    """
    return plasticizer_phr / (100.0 + plasticizer_phr + other_phr)


@relation(
    inputs={"age": "yr", "exponent": "1"},
    result="1",
    valid={"age": (0.0, 40.0), "exponent": (0.05, 0.12)},
    source=NUTTING,
)
def relaxation(age: Real, exponent: Real) -> Real:
    """Share of the one-minute modulus that is left after a strain was held for years.

    ``E(t)/E(t0) = (t/t0)^-n`` with t0 = 1 min

    age: time t the strain was held [yr]
    exponent: n [1]
    Result: share [1]; 1 at one minute or less
    Valid: soft PVC; n is remembered and shifts the result two- to threefold.
    Source: Nutting 1921; exponent from memory.
    """
    return power(maximum(np.asarray(age)[()] * MINUTES_PER_YEAR, 1.0), -exponent)


@relation(
    inputs={"age": "yr", "exponent": "1"},
    result="1",
    valid={"age": (0.0, 40.0), "exponent": (0.05, 0.12)},
    source=f"{NUTTING}; convolution for a steadily growing strain",
)
def ramp_relaxation(age: Real, exponent: Real) -> Real:
    """Share of the one-minute modulus felt by a strain that grew steadily for years.

    ``sigma = E(t) eps / (1 - n)``: what came late had less time to relax

    age: time t over which the strain grew [yr]
    exponent: n [1]
    Result: share [1]; never above 1
    Valid: steady growth from zero; linear viscoelasticity.
    Source: Nutting 1921; Boltzmann superposition; exponent from memory.
    """
    return -maximum(-relaxation(age, exponent) / (1.0 - exponent), -1.0)


@relation(
    inputs={"open_for": "yr", "exponent": "1"},
    result="1",
    valid={"open_for": (0.0, 40.0), "exponent": (0.05, 0.12)},
    source=f"{NUTTING}; recovery after the pull is gone, Boltzmann superposition",
)
def recovery(open_for: Real, exponent: Real) -> Real:
    """How many times its first shortness a skin has, once it has stood free for a while.

    ``f = (t/t0)^n`` with t0 = 1 min: what relaxing took comes back as slowly

    open_for: time since it came free t, shorter than it was held [yr]
    exponent: n [1]
    Result: f; 1 at one minute or less [1]
    Valid: soft PVC; n is remembered.
    Source: Nutting 1921; own derivation.
    """
    return 1.0 / relaxation(open_for, exponent)


@relation(
    inputs={"hours": "h", "exponent": "1"},
    result="1",
    valid={"hours": (0.1, 24.0), "exponent": (0.02, 0.25)},
    source=f"{NUTTING}; convolution for a steadily growing strain",
)
def overnight_relaxation(hours: Real, exponent: Real) -> Real:
    """Share of the ten-second modulus felt by a strain that grew through a night.

    ``sigma = E(t) eps / (1 - n)``, t0 = 10 s: cold moduli are values of ten seconds

    hours: time over which it grew cold [h]
    exponent: n; up to 0.2 near the glass transition, where relaxing is quickest [1]
    Result: share [1]; never above 1
    Valid: steady cooling; linear viscoelasticity.
    Source: Nutting 1921; exponent from memory.
    """
    share = power(maximum(hours * 360.0, 1.0), -exponent) / (1.0 - exponent)
    return -maximum(-share, -1.0)
