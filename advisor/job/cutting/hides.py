"""Leather for a cover: whole hides, and how the pieces lie on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.job.cutting.layout import Piece, Placed
from advisor.job.cutting.packing import Spot, Ways, first_free
from advisor.job.cutting.yardage import Panel, cut_pieces

SQUARE_FOOT = 0.09290304  # m2


@dataclass(frozen=True)
class HideLayout:
    """Pieces on one hide, drawn on the largest rectangle that a hide gives [mm]."""

    placed: tuple[Placed, ...]
    length: float
    width: float


@dataclass(frozen=True)
class Hides:
    """Leather for a cover."""

    net: float
    """Area of the pieces [m2]."""
    to_buy: float
    """Area with what is lost at flanks, holes and brands [m2]."""
    hides: int
    """Whole hides: enough by area, and enough for the layout."""
    hide_area: float
    """Usual area of one hide [m2]."""
    bought: float
    """Area as it is sold: in cut pieces, or half and whole hides where that is less [m2]."""
    sold_as: str
    """That area in words."""
    layouts: tuple[HideLayout, ...]
    """One for each hide that pieces lie on."""
    too_large: tuple[str, ...]
    """Panels larger than a hide gives in one piece; they are not laid."""

    @property
    def waste(self) -> float:
        """Share of the leather bought that is not in the cover."""
        return 1.0 - self.net / self.bought if self.bought > 0.0 else 0.0


def cut_from_hides(
    panels: Sequence[Panel],
    *,
    allowance: float,
    loss: float,
    hide_area: float,
    hide_length: float,
    hide_width: float,
    cut_piece: float,
) -> Hides:
    """Leather for the panels: net area over what is left of a hide, as leather is sold.

    Tanners sell cut pieces of ``cut_piece`` m2, half hides and whole ones: the least that is
    enough is bought, and whole hides where the pieces need more than one.

    ``loss`` is the share of the purchase that is lost (0.15 to 0.35), areas in m2, lengths
    in mm. Where the layout takes more hides than the area does, it decides. Source:
    tanners' yardage pages.
    """
    pieces, _ = cut_pieces(panels, allowance, math.inf, "free")
    net = sum(piece.length * piece.width for piece in pieces) / 1e6
    to_buy = net / (1.0 - loss)
    fitting = [piece for piece in pieces if _ways(piece, hide_length, hide_width)]
    large = tuple(piece.title for piece in pieces if piece not in fitting)
    layouts = lay_on_hides(fitting, hide_length, hide_width)
    by_area = math.ceil(to_buy / hide_area - 1e-9)
    hides = max(by_area, len(layouts))
    bought, sold_as = as_sold(to_buy, hides, hide_area, cut_piece)
    return Hides(net, to_buy, hides, hide_area, bought, sold_as, layouts, large)


def as_sold(to_buy: float, hides: int, hide_area: float, cut_piece: float) -> tuple[float, str]:
    """Leather as it is sold, the least that is enough: area [m2] and words. Common practice."""
    pieces = math.ceil(to_buy / cut_piece - 1e-9)
    if hides > 1:
        return hides * hide_area, f"{hides} whole hides"
    if pieces * cut_piece < 0.5 * hide_area:
        return pieces * cut_piece, "a cut piece" if pieces == 1 else f"{pieces} cut pieces"
    if to_buy <= 0.5 * hide_area:
        return 0.5 * hide_area, "half a hide"
    return hide_area, "1 whole hide"


def _ways(piece: Piece, length: float, width: float) -> Ways:
    """Leather has no nap: a piece may be turned where it then fits."""
    both = dict.fromkeys(((piece.length, piece.width), (piece.width, piece.length)))
    return tuple(way for way in both if way[0] <= length and way[1] <= width)


def lay_on_hides(
    pieces: Sequence[Piece], length: float, width: float
) -> tuple[HideLayout, ...]:
    """Pieces on as few rectangles of ``length`` by ``width`` [mm] as are found.

    Each goes on the first hide with room for it, large ones first, in three orders. Every
    piece must fit in some way. The same pieces give the same layout.
    """
    keys = (
        [piece.length * piece.width for piece in pieces],
        [max(piece.length, piece.width) for piece in pieces],
        [min(piece.length, piece.width) for piece in pieces],
    )
    orders = [sorted(range(len(pieces)), key=[-size for size in key].__getitem__) for key in keys]
    tried = [_filled(pieces, order, length, width) for order in orders]
    return min(tried, key=lambda hides: (len(hides), _taken(hides[-1:])))


def _filled(
    pieces: Sequence[Piece], order: Sequence[int], length: float, width: float
) -> tuple[HideLayout, ...]:
    hides: list[list[tuple[Piece, Spot]]] = []
    for i in order:
        ways = _ways(pieces[i], length, width)
        for hide in hides:
            spot = first_free([s for _, s in hide], ways, width, length)
            if spot is not None:
                hide.append((pieces[i], spot))
                break
        else:
            spot = first_free([], ways, width, length)
            if spot is None:
                raise ValueError(f"{pieces[i].title} does not fit on a hide")
            hides.append([(pieces[i], spot)])
    return tuple(
        HideLayout(
            tuple(Placed(piece, s.x, s.y, s.along, s.across) for piece, s in hide), length, width
        )
        for hide in hides
    )


def _taken(hides: Sequence[HideLayout]) -> float:
    """Length of the last hide that is taken, 0 for none."""
    return max((p.x + p.along for hide in hides for p in hide.placed), default=0.0)
