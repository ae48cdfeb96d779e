"""Laying a graph out in layers from left to right. Pure geometry, no Qt.

Longest-path layering, ordering by barycentres with stand-ins for edges that span several
layers, then places as close to the neighbours as the least distances allow (after K.
Sugiyama, S. Tagawa and M. Toda, IEEE Trans. Syst. Man Cybern. 11, 1981, from memory).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

SWEEPS = 12
#: Least distance in a layer between two nodes, a node and a stand-in, two stand-ins.
NODE_GAP, SIDE_GAP, BEND_GAP = 1.0, 0.65, 0.3

Edge = tuple[str, str]


@dataclass(frozen=True)
class Spot:
    """Where a node or a bend stands: layer from the left, height in node heights."""

    layer: int
    height: float


@dataclass(frozen=True)
class Drawing:
    """A layered drawing."""

    spots: Mapping[str, Spot]
    bends: Mapping[Edge, tuple[Spot, ...]]
    """Where an edge passes the layers between its ends; empty for neighbours."""

    @property
    def layers(self) -> int:
        """Number of layers."""
        return 1 + max((spot.layer for spot in self.spots.values()), default=-1)


def layers_of(
    nodes: Collection[str], edges: Iterable[Edge], last: Collection[str] = ()
) -> dict[str, int]:
    """Layer of each node: right of all that feeds it, as near to what it feeds as can be.

    Nodes in ``last`` all stand in the last layer. The edges must form no circle, which
    raises ValueError; those with an end outside ``nodes`` do not count.
    """
    feeds: dict[str, list[str]] = defaultdict(list)
    waiting = dict.fromkeys(nodes, 0)
    for source, target in edges:
        if source in waiting and target in waiting:
            feeds[source].append(target)
            waiting[target] += 1
    layer = dict.fromkeys(nodes, 0)
    ready = [node for node in nodes if not waiting[node]]
    done = 0
    while ready:
        node = ready.pop()
        done += 1
        for target in feeds[node]:
            layer[target] = max(layer[target], layer[node] + 1)
            waiting[target] -= 1
            if not waiting[target]:
                ready.append(target)
    if done < len(layer):
        raise ValueError("the edges form a circle")
    if last:
        inner = [layer[node] for node in nodes if node not in last]
        end = max([*layer.values(), *(at + 1 for at in inner)])
        layer.update((node, end) for node in nodes if node in last)
    # What feeds something stands just left of it: a short path then has no empty layers.
    for node in sorted(nodes, key=lambda name: -layer[name]):
        if feeds[node] and node not in last:
            layer[node] = min(layer[target] for target in feeds[node]) - 1
    return layer


def draw(nodes: Sequence[str], edges: Sequence[Edge], last: Collection[str] = ()) -> Drawing:
    """A drawing of an acyclic graph; the same graph always gives the same drawing."""
    layer = layers_of(nodes, edges, last)
    known = [(a, b) for a, b in dict.fromkeys(edges) if a in layer and b in layer]
    chains = {edge: _chain(edge, layer) for edge in known}
    columns: list[list[str]] = [[] for _ in range(1 + max(layer.values(), default=-1))]
    for node in nodes:
        columns[layer[node]].append(node)
    for edge, chain in chains.items():
        for step, bend in enumerate(chain, start=layer[edge[0]] + 1):
            columns[step].append(bend)
    before: dict[str, list[str]] = defaultdict(list)
    after: dict[str, list[str]] = defaultdict(list)
    for (source, target), chain in chains.items():
        steps = [source, *chain, target]
        for one, other in pairwise(steps):
            before[other].append(one)
            after[one].append(other)
    _order(columns, before, after)
    heights = _heights(columns, before, after, layer)
    place = {name: i for i, column in enumerate(columns) for name in column}
    spots = {node: Spot(layer[node], heights[node]) for node in nodes}
    bends = {
        edge: tuple(Spot(place[bend], heights[bend]) for bend in chain)
        for edge, chain in chains.items()
    }
    return Drawing(spots, bends)


def crossings(drawing: Drawing) -> int:
    """Number of pairs of edges that cross between two layers."""
    pieces: dict[int, list[tuple[float, float]]] = defaultdict(list)
    for (source, target), bends in drawing.bends.items():
        steps = [drawing.spots[source], *bends, drawing.spots[target]]
        for one, other in pairwise(steps):
            pieces[one.layer].append((one.height, other.height))
    return sum(
        (a[0] - b[0]) * (a[1] - b[1]) < 0
        for found in pieces.values()
        for i, a in enumerate(found)
        for b in found[:i]
    )


def _chain(edge: Edge, layer: Mapping[str, int]) -> list[str]:
    """Names of the stand-ins of an edge, one for each layer it passes."""
    between = range(layer[edge[0]] + 1, layer[edge[1]])
    return [f"{edge[0]}\0{edge[1]}\0{step}" for step in between]


def _order(
    columns: list[list[str]], before: Mapping[str, list[str]], after: Mapping[str, list[str]]
) -> None:
    """Sort each layer by the mean place of its neighbours, to and fro."""
    for sweep in range(SWEEPS):
        forward = sweep % 2 == 0
        order = columns if forward else columns[::-1]
        near = before if forward else after
        for fixed, moved in pairwise(order):
            place = {name: i / max(len(fixed) - 1, 1) for i, name in enumerate(fixed)}
            own = {name: i / max(len(moved) - 1, 1) for i, name in enumerate(moved)}
            means = {name: _mean(name, near, place, own) for name in moved}
            moved.sort(key=means.__getitem__)


def _mean(
    name: str, near: Mapping[str, list[str]], place: Mapping[str, float], own: Mapping[str, float]
) -> float:
    found = [place[other] for other in near.get(name, ()) if other in place]
    return sum(found) / len(found) if found else own[name]


def _heights(
    columns: list[list[str]],
    before: Mapping[str, list[str]],
    after: Mapping[str, list[str]],
    nodes: Collection[str],
) -> dict[str, float]:
    """Heights in the order of the layers, near the mean of the neighbours' heights."""
    heights: dict[str, float] = {}
    for column in columns:
        start = -0.5 * len(column)
        heights.update((name, start + i) for i, name in enumerate(column))
    for sweep in range(SWEEPS):
        for column in columns if sweep % 2 else columns[::-1]:
            wanted = []
            for name in column:
                around = [*before.get(name, ()), *after.get(name, ())]
                mean = sum(heights[n] for n in around) / len(around) if around else heights[name]
                wanted.append(mean)
            gaps = [
                (NODE_GAP, SIDE_GAP, BEND_GAP)[(one not in nodes) + (other not in nodes)]
                for one, other in pairwise(column)
            ]
            heights.update(zip(column, spread_out(wanted, gaps), strict=True))
    top = min(heights.values(), default=0.0)
    return {name: height - top for name, height in heights.items()}


def spread_out(wanted: Sequence[float], gaps: Sequence[float]) -> list[float]:
    """Values in order at least ``gaps`` apart, as near to ``wanted`` as can be.

    ``gaps`` has one entry less than ``wanted``. Least squares, by pooling neighbours that
    would come too close (pool-adjacent-violators).
    """
    offsets = [0.0]
    for gap in gaps:
        offsets.append(offsets[-1] + gap)
    pools: list[tuple[float, int]] = []
    for value, offset in zip(wanted, offsets, strict=False):
        total, count = value - offset, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            more, members = pools.pop()
            total, count = total + more, count + members
        pools.append((total, count))
    means = [total / count for total, count in pools for _ in range(count)]
    return [mean + offset for mean, offset in zip(means, offsets, strict=False)]
