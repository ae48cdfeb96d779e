"""How a skin changes with age: plasticizer lost along several ways, hardening, heat set."""

from __future__ import annotations

from advisor.mechanics.arith import exp, log, maximum, minimum
from advisor.mechanics.relation import Real, relation
from advisor.mechanics.vinyl import youngs_modulus_from_shore

HARDEST = 95.0  # Shore A, above which the relations to the modulus no longer hold
BALANCE = "balance of mass, own derivation"


@relation(
    inputs={"rate": "g/(m2 yr)", "age": "yr", "areal_mass": "g/m2"},
    result="1",
    source=BALANCE,
)
def drawn_out_fraction(rate: Real, age: Real, areal_mass: Real) -> Real:
    """Share of the plasticizer that cleaners, sweat or a layer behind have drawn out.

    ``f = r t / M``, at most 1

    rate: mass drawn out of a square metre in a year r [g/(m2 yr)]
    age: years t [yr]
    areal_mass: plasticizer held at the start M [g/m2]
    Result: lost fraction f [1]
    Valid: as long as the surface is fed from within; slows down when much is gone.
    Source: balance of mass.
    """
    return minimum(rate * age / areal_mass, 1.0)


@relation(
    inputs={"lost": "1", "evaporated": "1", "extracted": "1"}, result="1", source=BALANCE
)
def unexplained_fraction(lost: Real, evaporated: Real, extracted: Real) -> Real:
    """Share of the plasticizer that went where neither air nor cleaner took it.

    ``f3 = f - f1 - f2``, not below 0: it has gone into what lies behind the skin

    lost: what the feel of the skin says is gone in all f [1]
    evaporated: share that left into the air f1 [1]
    extracted: share that was drawn out from the front f2 [1]
    Result: f3 [1]
    Valid: as an estimate of what foam, glue or a plastic shell behind has taken up.
    Source: balance of mass.
    """
    return maximum(lost - evaporated - extracted, 0.0)


@relation(
    inputs={"new_hardness": "1", "plasticizer_phr": "1", "lost_fraction": "1", "slope": "1"},
    result="1",
    valid={"plasticizer_phr": (30.0, 90.0), "lost_fraction": (0.0, 0.6)},
    source="straight line through Shore A 87, 74 and 63 at 40, 60 and 80 parts of DOP: "
    "Sears & Darby 1982 (from memory)",
)
def hardness_after_loss(
    new_hardness: Real, plasticizer_phr: Real, lost_fraction: Real, slope: Real
) -> Real:
    """Shore A hardness of vinyl that lost part of its plasticizer.

    ``S = S0 + s P f``, at most 95

    new_hardness: Shore A of the skin when new S0 [1]
    plasticizer_phr: plasticizer P when new per hundred parts of resin [1]
    lost_fraction: part of it that is gone f [1]
    slope: rise of hardness s per part lost, 0.6 [1]
    Result: Shore A [1]
    Valid: 40 to 90 parts; read at room temperature.
    Source: Sears & Darby 1982, values from memory.
    """
    return minimum(new_hardness + slope * plasticizer_phr * lost_fraction, HARDEST)


@relation(
    inputs={"hardness": "1", "new_hardness": "1"},
    result="1",
    valid={"hardness": (30.0, 95.0), "new_hardness": (30.0, 95.0)},
    source="quotient of two values of youngs_modulus_from_shore",
)
def stiffening_by_hardness(hardness: Real, new_hardness: Real) -> Real:
    """How many times stiffer a vinyl is than when it was new, from its hardness.

    ``E(S) / E(S0)``

    hardness: Shore A today S [1]
    new_hardness: Shore A when new S0 [1]
    Result: ratio of the moduli [1]
    Valid: 30 to 95 Shore A; a cloth behind the vinyl does not stiffen with it.
    Source: Gent 1958 and Ruess, as in ``youngs_modulus_from_shore``.
    """
    return youngs_modulus_from_shore(hardness) / youngs_modulus_from_shore(new_hardness)


@relation(
    inputs={"margin": "K", "width": "K", "full": "1"},
    result="1",
    valid={"width": (2.0, 20.0), "full": (0.0, 0.6)},
    source="S-shaped rise about the shrinkage temperature; the shape is an own estimate",
)
def heat_set(margin: Real, width: Real, full: Real) -> Real:
    """Shrinkage that heat leaves in leather for good.

    ``eps = eps1 / (1 + exp(m / w))``

    margin: distance from the shrinkage temperature m, as of ``heat_margin`` [K]
    width: how gradual the change is w [K]
    full: linear shrinkage of leather that has shrunk fully eps1, 0.42 [1]
    Result: eps [1]
    Valid: half of the full shrinkage at the shrinkage temperature, next to none far below.
    Source: own estimate of the shape.
    """
    return full / (1.0 + exp(margin / width))


@relation(
    inputs={"thickness": "mm", "usual": "mm", "share": "1"},
    result="1",
    valid={"share": (0.0, 1.0)},
    source="strength per width of a sheet is stress times thickness; the share is an estimate",
)
def strength_by_thickness(thickness: Real, usual: Real, share: Real) -> Real:
    """Strength per width of a skin against one of the usual thickness.

    ``1 - s + s t / t0``

    thickness: thickness of this skin t [mm]
    usual: thickness at which the strength was found t0 [mm]
    share: share s of the strength that goes with thickness, 1 for a skin alike all through [1]
    Result: factor [1]
    Valid: the same make in another thickness; a cloth behind a coating carries its own share.
    Source: definition of stress; share estimated.
    """
    return 1.0 - share + share * thickness / usual


@relation(
    inputs={"stiffness": "N/mm", "hardening": "1"},
    result="N/mm",
    valid={"hardening": (1.0, 8.0)},
    source="Boltzmann superposition, each strain at the stiffness of its day; own derivation",
)
def stiffness_while_hardening(stiffness: Real, hardening: Real) -> Real:
    """Stiffness with which the shrinkage of a skin pulls that hardened while it shrank.

    ``K (h - 1)/(h ln h)``: what was locked in while it was supple pulls as a supple skin

    stiffness: stiffness today K [N/mm]
    hardening: how many times stiffer it has become h [1]
    Result: mean over the years of shrinking, at most K; to be relaxed once [N/mm]
    Valid: shrinkage and hardening from the same loss, rising evenly.
    Source: own derivation.
    """
    h = maximum(hardening, 1.0 + 1e-6)
    return stiffness * (h - 1.0) / (h * log(h))
