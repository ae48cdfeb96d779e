"""How vinyl loses plasticizer to the air, and how far the sheet then shrinks."""

from __future__ import annotations

from advisor.mechanics.arith import cbrt, exp, maximum
from advisor.mechanics.relation import Real, relation

ZERO_CELSIUS = 273.15  # K
GAS_CONSTANT = 8.314462618e-3  # kJ/(mol K)
DEHP_MOLAR_MASS = 0.390556  # kg/mol
# Chamber air over DEHP at 47 degC, 38 ug/m3: Clausen et al., Environ. Sci. Technol. 2012.
# The middle of the five temperatures measured there, so the slope turns about it.
REFERENCE_TEMPERATURE = 47.0  # degC
REFERENCE_CONCENTRATION = 38.0  # ug/m3

CLAUSEN = "Clausen et al. 2012, Environ. Sci. Technol. (DEHP emission against temperature)"
EKELUND = "Ekelund et al. 2008, Polym. Degrad. Stab. (PVC cables, plasticizer migration)"
VOLUMES = "additive volumes, own derivation"


@relation(
    inputs={"temperature": "degC", "evaporation_enthalpy": "kJ/mol"},
    result="Pa",
    valid={"temperature": (20.0, 100.0), "evaporation_enthalpy": (96.0, 115.0)},
    source=f"Clausius-Clapeyron from 38 ug/m3 at 47 degC: {CLAUSEN}",
)
def vapour_pressure_dehp(temperature: Real, evaporation_enthalpy: Real) -> Real:
    """Vapour pressure of the plasticizer DEHP.

    ``p = p0 exp[H/R (1/T0 - 1/T)]``, p0 = c0 R T0 / M at T0 = 47 degC

    temperature: surface temperature T [degC]
    evaporation_enthalpy: H; 115 follows all chamber points, 98 films of PVC [kJ/mol]
    Result: p [Pa]
    Valid: 20 to 100 degC, within a factor of 1.5 at H = 115; H = 98 reads low when hot.
    Source: Clausen et al. 2012 for p0; Ekelund et al. 2008 for H = 98.
    """
    reference = REFERENCE_TEMPERATURE + ZERO_CELSIUS
    pressure = (
        REFERENCE_CONCENTRATION * 1e-9 * 1e3 * GAS_CONSTANT * reference / DEHP_MOLAR_MASS
    )
    return pressure * arrhenius_ratio(evaporation_enthalpy, temperature, REFERENCE_TEMPERATURE)


@relation(
    inputs={"vapour_pressure": "Pa", "temperature": "degC", "molar_mass": "kg/mol"},
    result="ug/m3",
    source="ideal gas law",
)
def saturated_concentration(
    vapour_pressure: Real, temperature: Real, molar_mass: Real
) -> Real:
    """Concentration of a vapour in the air that touches its liquid.

    ``y0 = p M / (R T)``

    vapour_pressure: p at the surface [Pa]
    temperature: T at the surface [degC]
    molar_mass: M [kg/mol]
    Result: y0 [ug/m3]
    Valid: low pressure; activity of plasticizer in vinyl taken as 1.
    Source: ideal gas law; activity near 1 from Clausen et al. 2012.
    """
    kelvin = temperature + ZERO_CELSIUS
    return 1e9 * vapour_pressure * molar_mass / (1e3 * GAS_CONSTANT * kelvin)


@relation(
    inputs={"mass_transfer": "m/h", "surface": "ug/m3", "air": "ug/m3"},
    result="ug/(m2 h)",
    valid={"mass_transfer": (1.0, 4.3)},
    source=f"film theory; evaporation from PVC is limited by the air side: {EKELUND}",
)
def evaporation_flux(mass_transfer: Real, surface: Real, air: Real) -> Real:
    """Plasticizer that leaves a surface per hour.

    ``m = hm (y0 - y_air)``

    mass_transfer: mass transfer coefficient hm; air flow over area in a test cell [m/h]
    surface: concentration y0 at the surface [ug/m3]
    air: concentration in the air further away [ug/m3]
    Result: flux [ug/(m2 h)]; not below 0
    Valid: up to about 100 degC; above 120 degC diffusion in the vinyl governs.
    Source: Ekelund et al. 2008; hm from Shinohara et al. 2019, PLoS ONE 14(9).
    """
    return mass_transfer * maximum(surface - air, 0.0)


@relation(
    inputs={"energy": "kJ/mol", "temperature": "degC", "reference": "degC"},
    result="1",
    valid={"energy": (70.0, 153.0)},
    source="Arrhenius relation",
)
def arrhenius_ratio(energy: Real, temperature: Real, reference: Real) -> Real:
    """How many times faster a heat-driven process runs than at a reference temperature.

    ``exp[H/R (1/T0 - 1/T)]`` in kelvin

    energy: H [kJ/mol]
    temperature: T [degC]
    reference: T0 [degC]
    Result: ratio [1]
    Valid: one rate-limiting step; 70 to 153 kJ/mol for plasticizers.
    Source: Arrhenius; range from Tuzum Demir & Ulutan 2012, J. Appl. Polym. Sci.
    """
    inverse = 1.0 / (reference + ZERO_CELSIUS) - 1.0 / (temperature + ZERO_CELSIUS)
    return exp(energy / GAS_CONSTANT * inverse)


@relation(
    inputs={"thickness": "mm", "density": "g/cm3", "mass_fraction": "1"},
    result="g/m2",
    source="definition",
)
def plasticizer_areal_mass(thickness: Real, density: Real, mass_fraction: Real) -> Real:
    """Plasticizer held by a square metre of sheet.

    ``M = 1000 t rho w``

    thickness: sheet thickness t [mm]
    density: density of the compound rho [g/cm3]
    mass_fraction: plasticizer w of the compound [1]
    Result: M [g/m2]
    Valid: solid sheet; expanded vinyl holds less.
    Source: definition.
    """
    return 1e3 * thickness * density * mass_fraction


@relation(
    inputs={"flux": "ug/(m2 h)", "hours": "h", "areal_mass": "g/m2"},
    result="1",
    source="definition",
)
def evaporated_fraction(flux: Real, hours: Real, areal_mass: Real) -> Real:
    """Share of the plasticizer that has left through one face.

    ``f = m t / M``, at most 1

    flux: evaporation flux m [ug/(m2 h)]
    hours: time t at that flux [h]
    areal_mass: plasticizer held at the start M [g/m2]
    Result: lost fraction f [1]
    Valid: constant flux; activity stays near 1.
    Source: definition.
    """
    return -maximum(-1e-6 * flux * hours / areal_mass, -1.0)


@relation(
    inputs={
        "plasticizer_phr": "1",
        "filler_phr": "1",
        "resin_density": "g/cm3",
        "plasticizer_density": "g/cm3",
        "filler_density": "g/cm3",
    },
    result="g/cm3",
    source=VOLUMES,
)
def mixture_density(
    plasticizer_phr: Real,
    filler_phr: Real,
    resin_density: Real,
    plasticizer_density: Real,
    filler_density: Real,
) -> Real:
    """Density of a vinyl compound.

    ``rho = (100 + P + F) / (100/rho1 + P/rho2 + F/rho3)``

    plasticizer_phr: plasticizer P per hundred parts of resin [1]
    filler_phr: filler F per hundred parts of resin [1]
    resin_density: rho1, PVC 1.40 [g/cm3]
    plasticizer_density: rho2, DEHP 0.986 [g/cm3]
    filler_density: rho3, chalk 2.7 [g/cm3]
    Result: rho [g/cm3]
    Valid: solid compound without gas.
    Source: additive volumes.
    """
    volume = (
        100.0 / resin_density + plasticizer_phr / plasticizer_density + filler_phr / filler_density
    )
    return (100.0 + plasticizer_phr + filler_phr) / volume


@relation(
    inputs={
        "lost_fraction": "1",
        "plasticizer_phr": "1",
        "filler_phr": "1",
        "resin_density": "g/cm3",
        "plasticizer_density": "g/cm3",
        "filler_density": "g/cm3",
    },
    result="1",
    valid={"lost_fraction": (0.0, 0.6), "plasticizer_phr": (20.0, 100.0)},
    source=VOLUMES,
)
def shrinkage_from_loss(
    lost_fraction: Real,
    plasticizer_phr: Real,
    filler_phr: Real,
    resin_density: Real,
    plasticizer_density: Real,
    filler_density: Real,
) -> Real:
    """Linear shrinkage of a free sheet that lost part of its plasticizer.

    ``eps = 1 - (V1/V0)^(1/3)``, ``V = 100/rho1 + P/rho2 + F/rho3``

    lost_fraction: part of the plasticizer that is gone [1]
    plasticizer_phr: plasticizer P at the start per hundred parts of resin [1]
    filler_phr: filler F per hundred parts of resin [1]
    resin_density: rho1 [g/cm3]
    plasticizer_density: rho2 [g/cm3]
    filler_density: rho3 [g/cm3]
    Result: in-plane shrinkage [1]
    Valid: unbacked sheet that shrinks alike all ways; a stiff backing takes it to 0.
    Source: additive volumes.
    """
    rest = 100.0 / resin_density + filler_phr / filler_density
    plasticizer = plasticizer_phr / plasticizer_density
    after = rest + plasticizer * (1.0 - lost_fraction)
    return 1.0 - cbrt(after / (rest + plasticizer))
