"""Leather: strain from drying and from heat, stiffness from a tensile test."""

from __future__ import annotations

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
