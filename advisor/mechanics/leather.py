"""Leather: strain from drying and from heat, stiffness from a tensile test."""

from __future__ import annotations

from advisor.mechanics.arith import exp, interpolate, sqrt
from advisor.mechanics.relation import Real, relation


@relation(
    inputs={"coefficient": "1/%", "humidity_change": "%"},
    result="1",
    valid={"coefficient": (0.0002, 0.0009), "humidity_change": (-90.0, 90.0)},
    source="Kite & Thomson 2006, Conservation of Leather; coefficient from memory",
)
def humidity_strain(coefficient: Real, humidity_change: Real) -> Real:
    """Strain of leather as the air dries.

    ``eps = c dRH``

    coefficient: strain c per percent of relative humidity, 0.0005 typical [1/%]
    humidity_change: fall of relative humidity, positive for drying [%]
    Result: shrinkage, negative for swelling [1]
    Valid: below the shrinkage temperature, slow change.
    Source: Kite & Thomson 2006; coefficient from memory.
    """
    return coefficient * humidity_change


@relation(
    inputs={"humidity": "%"},
    result="1",
    valid={"humidity": (20.0, 100.0)},
    source="Chylewski, as quoted in conservation literature; vegetable tanned",
)
def leather_moisture(humidity: Real) -> Real:
    """Moisture of leather in balance with air.

    ``w(RH)``: straight lines through 10, 12, 19, 21 and 34 % of water at 20, 40, 60, 80
    and 100 % humidity.

    humidity: relative humidity of the air [%]
    Result: mass fraction of moisture [1]
    Valid: 20 to 100 %, vegetable tanned; held level below.
    Source: Chylewski, quoted at second hand.
    """
    return interpolate(
        humidity, (20.0, 40.0, 60.0, 80.0, 100.0), (0.10, 0.12, 0.19, 0.21, 0.34)
    )


@relation(
    inputs={"temperature": "degC", "humidity": "%", "heated_to": "degC"},
    result="%",
    valid={"temperature": (0.0, 60.0), "heated_to": (0.0, 80.0)},
    source="Magnus formula, constants after Sonntag 1990",
)
def humidity_after_heating(temperature: Real, humidity: Real, heated_to: Real) -> Real:
    """Relative humidity of shut-in air after it warms up.

    ``RH1 = RH0 es(T0)/es(T1)``, ``es = exp[17.62 T/(243.12 + T)]``

    temperature: air at the start T0 [degC]
    humidity: relative humidity at the start RH0 [%]
    heated_to: air afterwards T1 [degC]
    Result: RH1 [%]
    Valid: no moisture given off by seats and carpet; the true value is higher.
    Source: Magnus formula, Sonntag 1990.
    """
    start = 17.62 * temperature / (243.12 + temperature)
    end = 17.62 * heated_to / (243.12 + heated_to)
    return humidity * exp(start - end)


@relation(
    inputs={"area_left": "1"},
    result="1",
    valid={"area_left": (0.1, 1.0)},
    source="definition; a third of the area left after full shrinking, conservation science",
)
def shrinkage_from_area(area_left: Real) -> Real:
    """Linear shrinkage of leather from the share of its area that is left.

    ``eps = 1 - sqrt(A1/A0)``

    area_left: area afterwards over area before [1]
    Result: linear shrinkage [1]
    Valid: equal both ways; hides are not quite.
    Source: definition.
    """
    return 1.0 - sqrt(area_left)


@relation(
    inputs={"shrinkage_temperature": "degC", "temperature": "degC", "dry_margin": "K"},
    result="K",
    valid={"dry_margin": (0.0, 40.0)},
    source="ISO 3380 shrinkage temperature, tested wet; margin of dry leather from memory",
)
def heat_margin(shrinkage_temperature: Real, temperature: Real, dry_margin: Real) -> Real:
    """How far leather is from shrinking for good.

    ``margin = Ts + dT - T``

    shrinkage_temperature: Ts, tested in water [degC]
    temperature: hottest temperature T the leather sees [degC]
    dry_margin: dT that dry leather bears above Ts; 0 when wet [K]
    Result: margin; below 0 the leather shrinks and cannot be closed, only patched [K]
    Valid: chrome tanned about 100 degC, aldehyde 65 to 90, vegetable 67 to 85.
    Source: ISO 3380; dry margin from memory.
    """
    return shrinkage_temperature + dry_margin - temperature


@relation(
    inputs={"force": "N", "width": "mm", "thickness": "mm", "elongation": "1"},
    result="MPa",
    source="definition; strip as in ISO 3376",
)
def secant_modulus(force: Real, width: Real, thickness: Real, elongation: Real) -> Real:
    """Secant modulus from a strip test.

    ``E = F / (b t eps)``

    force: load F [N]
    width: strip width b [mm]
    thickness: strip thickness t [mm]
    elongation: strain eps at that load [1]
    Result: secant modulus [MPa]
    Valid: to that elongation only; leather starts softer.
    Source: definition.
    """
    return force / (width * thickness * elongation)
