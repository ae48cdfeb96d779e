"""Plasticized vinyl (soft PVC): make-up, glass transition, stiffness over heat and years."""

from __future__ import annotations

import numpy as np

from advisor.mechanics.arith import below, exp, maximum, power, sqrt
from advisor.mechanics.relation import Real, relation

ZERO_CELSIUS = 273.15  # K
ROOM = 23.0  # degC, at which hardness and modulus are tested
MINUTES_PER_YEAR = 365.25 * 24.0 * 60.0

GENT = "Gent 1958, Rubber Chem. Technol. 31, 896-906"
RUESS = "Ruess relation log10 E = 0.0235 S - 0.6403, as tabulated for elastomer hardness"
FOX = "Fox 1956, Bull. Am. Phys. Soc. 1, 123"
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
    inputs={"line_load": "N/mm", "thickness": "mm"},
    result="MPa",
    source="definition of stress; unit strain 1, as in a 100 % secant",
)
def modulus_from_line_load(line_load: Real, thickness: Real) -> Real:
    """Secant modulus at 100 % elongation from a load per width of sheet.

    ``E100 = q / t``

    line_load: load q at 100 % elongation per width [N/mm]
    thickness: sheet thickness t [mm]
    Result: 100 % secant modulus [MPa]
    Valid: at 100 % elongation; the initial modulus of soft PVC differs.
    Source: definition.
    """
    return line_load / thickness


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
    inputs={"plasticizer_phr": "1"},
    result="1",
    valid={"plasticizer_phr": (0.0, 150.0)},
    source="definition of parts per hundred of resin",
)
def plasticizer_fraction_in_polymer(plasticizer_phr: Real) -> Real:
    """Plasticizer as a mass fraction of resin and plasticizer alone.

    ``w2 = P / (100 + P)`` (filler takes no part in the glass transition)

    plasticizer_phr: plasticizer P per hundred parts of resin [1]
    Result: mass fraction w2 [1]
    Valid: any recipe.
    Source: definition.
    """
    return plasticizer_phr / (100.0 + plasticizer_phr)


@relation(
    inputs={
        "plasticizer_fraction": "1",
        "polymer_transition": "degC",
        "plasticizer_transition": "degC",
    },
    result="degC",
    valid={"plasticizer_fraction": (0.0, 0.6)},
    source=FOX,
)
def glass_transition_fox(
    plasticizer_fraction: Real, polymer_transition: Real, plasticizer_transition: Real
) -> Real:
    """Glass transition of a plasticized polymer, after Fox.

    ``1/Tg = (1 - w2)/Tg1 + w2/Tg2`` in kelvin

    plasticizer_fraction: mass fraction w2 in resin and plasticizer [1]
    polymer_transition: Tg1 of the resin [degC]
    plasticizer_transition: Tg2 of the plasticizer [degC]
    Result: Tg [degC]
    Valid: for ranking and for shifts; may miss a measured Tg by 30 K.
    Source: Fox 1956.
    """
    polymer = polymer_transition + ZERO_CELSIUS
    plasticizer = plasticizer_transition + ZERO_CELSIUS
    inverse = (1.0 - plasticizer_fraction) / polymer + plasticizer_fraction / plasticizer
    return 1.0 / inverse - ZERO_CELSIUS


@relation(
    inputs={
        "plasticizer_fraction": "1",
        "polymer_transition": "degC",
        "plasticizer_transition": "degC",
        "weight": "1",
    },
    result="degC",
    valid={"plasticizer_fraction": (0.0, 0.6), "weight": (0.2, 4.0)},
    source="Gordon & Taylor 1952, J. Appl. Chem. 2, 493-500",
)
def glass_transition_gordon_taylor(
    plasticizer_fraction: Real,
    polymer_transition: Real,
    plasticizer_transition: Real,
    weight: Real,
) -> Real:
    """Glass transition of a plasticized polymer, after Gordon and Taylor.

    ``Tg = [(1 - w2) Tg1 + k w2 Tg2] / [(1 - w2) + k w2]`` in kelvin

    plasticizer_fraction: mass fraction w2 in resin and plasticizer [1]
    polymer_transition: Tg1 of the resin [degC]
    plasticizer_transition: Tg2 of the plasticizer [degC]
    weight: k, fitted; Tg1/Tg2 in kelvin gives the Fox relation [1]
    Result: Tg [degC]
    Valid: one miscible plasticizer.
    Source: Gordon & Taylor 1952.
    """
    share = 1.0 - plasticizer_fraction
    weighed = weight * plasticizer_fraction
    return (share * polymer_transition + weighed * plasticizer_transition) / (share + weighed)


@relation(
    inputs={
        "modulus_23": "MPa",
        "temperature": "degC",
        "b_cold": "1/K",
        "b_warm": "1/K",
    },
    result="MPa",
    valid={"temperature": (-30.0, 100.0), "b_cold": (0.06, 0.1), "b_warm": (0.02, 0.045)},
    source="exponential fit; b warm from geomembrane tensile tests, b cold from one "
    "Clash-Berg point (ASTM D1043), both from memory",
)
def modulus_at_temperature(
    modulus_23: Real, temperature: Real, b_cold: Real, b_warm: Real
) -> Real:
    """Modulus of soft vinyl at another temperature.

    ``E(T) = E23 exp[-b (T - 23)]`` with one b below and one above 23 degC

    modulus_23: modulus at 23 degC [MPa]
    temperature: temperature T [degC]
    b_cold: b below 23 degC [1/K]
    b_warm: b above 23 degC [1/K]
    Result: E(T) [MPa]
    Valid: -30 to 100 degC; ends at the glass transition, where vinyl is rigid.
    Source: values from memory; weak below 10 degC.
    """
    slope = below(temperature, ROOM, b_cold, b_warm)
    return modulus_23 * exp(-slope * (temperature - ROOM))


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
