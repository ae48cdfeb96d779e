"""Foam to order and what a hollow takes; patch, filler and colour."""

from __future__ import annotations

import math

from advisor.job.measured_and_agreed import HollowShape
from advisor.mechanics.arith import ceil
from advisor.mechanics.relation import Real

LITRE = 1e6  # mm3
#: Plate of the indentation test, ASTM D3574: 8 inches across.
PLATE = 0.0323  # m2
#: Humidity at which a can's data sheet gives its cure.
USUAL_HUMIDITY = 0.6
#: Minutes until a layer of 30 mm of one-part foam can be cut, 18 degC and 60 %: data sheet.
HANDLED = (20.0, 22.0, 25.0)


def dish_volume(length: Real, width: Real, depth: Real, *, shallow: bool = False) -> Real:
    """Volume of a dish [l]: half an ellipsoid, or a shallow cap of parabolic section.

    ``pi/6 L W D`` or ``pi/8 L W D``. Length, width, depth at least 0 [mm]. Source: geometry.
    """
    share = 8.0 if shallow else 6.0
    return math.pi / share * length * width * depth / LITRE


def wedge_volume(length: Real, width: Real, depth: Real) -> Real:
    """Volume of a wedge, ``L W D / 2`` [l]; sides in mm. Source: geometry."""
    return 0.5 * length * width * depth / LITRE


def block_volume(length: Real, width: Real, depth: Real) -> Real:
    """Volume of a block, ``L W D`` [l]; sides in mm. Source: geometry."""
    return length * width * depth / LITRE


def hollow_volume(length: Real, width: Real, depth: Real, shape: HollowShape) -> Real:
    """Volume of a hollow of that shape [l]; sides in mm. Source: geometry."""
    if shape is HollowShape.WEDGE:
        return wedge_volume(length, width, depth)
    if shape is HollowShape.BLOCK:
        return block_volume(length, width, depth)
    return dish_volume(length, width, depth, shallow=shape is HollowShape.SHALLOW)


def cans_to_order(volume: Real, free_yield: Real, confined: Real) -> Real:
    """Cans of one-part foam for a closed hollow, whole cans.

    ``ceil(V / (yield x share))``; volume and free_yield in l, confined the share of the free
    yield that is reached between walls (0.4 to 0.7, common practice).
    """
    return ceil(volume / (free_yield * confined))


def layers(depth: Real, thickest: Real) -> Real:
    """Layers that a depth is filled in, at least one; both in mm."""
    return ceil(depth / thickest)


def cure_minutes(per_layer: Real, number: Real, humidity: Real) -> Real:
    """Cure of one-part foam laid in layers [min], against the relative humidity of the air.

    Taken inversely to the moisture there is: ``per_layer x n x 0.60 / humidity``, per_layer
    at 60 % and humidity between 0.2 and 0.9. Closed in and dry it may never cure. Own
    estimate from a data sheet that gives one point.
    """
    if not 0.2 <= float(humidity) <= 0.9:
        raise ValueError(f"humidity {humidity} is outside 0.2 to 0.9")
    return per_layer * number * USUAL_HUMIDITY / humidity


def patch_side(damage: Real, overlap: Real) -> Real:
    """Side of a patch [mm]: the damage and the overlap at both ends."""
    return damage + 2.0 * overlap


def liquid_for_area(area: Real, coats: Real, cover: Real) -> Real:
    """Litres for coats on an area: ``A n / cover``; area in m2, cover in m2/l."""
    return area * coats / cover


def filler_fits(cure: float, limit: float) -> bool:
    """True where the skin stands the heat at which the filler cures; both in degC."""
    return cure <= limit
