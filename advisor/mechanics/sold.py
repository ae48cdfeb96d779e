"""How much of a material has to be bought, as it is sold."""

from __future__ import annotations

from advisor.mechanics.arith import ceil
from advisor.mechanics.relation import Real, relation

TANNERS = "tanners' yardage pages, five that agree; what is sold as a cut piece: common practice"


@relation(
    inputs={"net_area": "m2", "lost": "1", "piece": "m2"},
    result="m2",
    valid={"lost": (0.15, 0.35), "piece": (0.25, 6.0)},
    source=TANNERS,
)
def leather_bought(net_area: Real, lost: Real, piece: Real) -> Real:
    """Leather to buy for pieces of so much area, in whole pieces as they are sold.

    ``A = a ceil(A_net / (1 - w) / a)``

    net_area: area of the pieces A_net [m2]
    lost: share of what is bought that is lost at flanks, holes and brands w [1]
    piece: smallest piece that is sold a [m2]
    Result: area to buy A [m2]
    Valid: w 0.15 to 0.35.
    Source: tanners' yardage pages, five that agree; smallest cut piece: common practice.
    """
    return piece * ceil(net_area / (1.0 - lost) / piece)
