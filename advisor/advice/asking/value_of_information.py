"""What knowing an open fact is worth: expected savings, from one set of worlds."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.conditions import Mask
from advisor.rulegraph.model.nodes import Array
from advisor.wording.amounts import Bounds

#: A quantity is grouped into this many equally likely bins.
BINS = 8
#: Groups backed by fewer worlds than this say nothing.
THIN = 15.0


def open_facts(case: Case, worlds: SampledWorlds) -> list[FactDecl]:
    """Facts that apply, are not answered for certain, and are no gate."""
    found = []
    for decl in worlds.pack.asked(case):
        value = case.facts.get(decl.name)
        settled = isinstance(value, bool | str) or (
            isinstance(value, tuple) and len(value) == 1
        )
        settled = settled or isinstance(value, Span)
        if decl.name in worlds.pack.earlier_facts and case.earlier_repairs is not None:
            settled = True
        if not settled and not decl.gate and decl.kind is not Kind.TEXT:
            found.append(decl)
    return found


@dataclass(frozen=True)
class AnswerWords:
    """An answer in words; of a quantity the bounds, for readers of other units."""

    words: str
    amount: Bounds | None = None


def groups_of(decl: FactDecl, worlds: SampledWorlds) -> tuple[NDArray[np.intp], list[AnswerWords]]:
    """Group number of every world by the answer to ``decl``, and the answers in words."""
    column = worlds.values[decl.name]
    if decl.kind is Kind.CHOICE:
        return column.astype(np.intp), [AnswerWords(option.title) for option in decl.options]
    if decl.kind is Kind.YES_NO:
        return column.astype(np.intp), [AnswerWords("no"), AnswerWords("yes")]
    edges = worlds.quantiles(column, tuple(k / BINS for k in range(1, BINS)))
    edges = np.unique(edges)
    marks = [None, *[float(e) for e in edges], None]
    if edges.size == 1 and column.min() == column.max():
        marks = [float(edges[0])] * 3
    amounts = [Bounds(low, high, decl.dimension) for low, high in pairwise(marks)]
    answers = [AnswerWords(amount.words(), amount) for amount in amounts]
    return (column >= edges[:, None]).sum(axis=0, dtype=np.intp), answers


def _middle(column: Array, mask: Mask) -> float:
    inside = column[mask]
    return float(np.median(inside if inside.size else column))


@dataclass(frozen=True)
class Knowing:
    """What knowing a fact is worth: groups by answer, their shares and best plans."""

    groups: NDArray[np.intp]
    answers: list[AnswerWords]
    value: float
    error: float
    shares: Array
    best: NDArray[np.intp]

    def answer(self, decl: FactDecl, k: int, worlds: SampledWorlds) -> Value:
        """The answer of group ``k``, of a quantity the middle one."""
        if decl.kind is Kind.CHOICE:
            return (decl.options[k].key,)
        if decl.kind is Kind.YES_NO:
            return k == 1
        middle = _middle(worlds.values[decl.name], self.groups == k)
        return Span(middle, middle)


def knowing(decl: FactDecl, worlds: SampledWorlds, costs: Array) -> Knowing:
    """What knowing ``decl`` before choosing is worth; worked out once for the worlds."""
    found = worlds.knowing.get(decl.name)
    if found is None:
        groups, answers = groups_of(decl, worlds)
        worth = worth_of_knowing(groups, len(answers), costs, worlds.weights)
        found = worlds.knowing[decl.name] = Knowing(groups, answers, *worth)
    assert isinstance(found, Knowing)
    return found


def conditional_costs(
    groups: NDArray[np.intp], count: int, costs: Array, weights: Array
) -> tuple[Array, Array]:
    """Share of each group (count,) and mean cost of each plan in it (count, plans)."""
    shares, sums = _sums(groups, count, costs, weights)
    return shares, sums.T / np.maximum(shares, 1e-300)[:, None]


def _sums(
    groups: NDArray[np.intp], count: int, costs: Array, weights: Array
) -> tuple[Array, Array]:
    """Weight of each group (count,) and weighted cost of each plan in it (plans, count)."""
    shares = np.asarray(np.bincount(groups, weights=weights, minlength=count), dtype=np.float64)
    sums = np.empty((costs.shape[1], count))
    for plan in range(costs.shape[1]):
        weighted = weights * costs[:, plan]
        sums[plan] = np.bincount(groups, weights=weighted, minlength=count)
    return shares, sums


def worth_of_knowing(
    groups: NDArray[np.intp], count: int, costs: Array, weights: Array
) -> tuple[float, float, Array, NDArray[np.intp]]:
    """Expected saving from knowing a fact before choosing, with its standard error.

    Also the shares of the groups, and the best plan in each; thin groups keep plan 0. Each
    half of the worlds (the even ones, the odd ones) is decided by the best plans of the
    other, so that luck in the sample is not taken for knowledge: choosing and valuing on
    the same worlds would always find a saving. ``costs`` has shape (worlds, plans), plan 0
    leading.
    """
    if costs.shape[1] == 1:
        alone = np.asarray(np.bincount(groups, weights=weights, minlength=count), dtype=float)
        return 0.0, 0.0, alone, np.zeros(count, dtype=np.intp)
    both = 2 * groups + _parity(groups.size)
    shares, sums = _sums(both, 2 * count, costs, weights)
    shares, sums = shares.reshape(count, 2), sums.reshape(-1, count, 2)
    squares = np.array([(weights[half::2] ** 2).sum() for half in (0, 1)])
    totals = shares.sum(axis=0)
    effective = shares * totals / np.maximum(squares, 1e-300)
    best = np.where(effective >= THIN, (sums / np.maximum(shares, 1e-300)).argmin(axis=0), 0)
    value = error = 0.0
    if best.any():
        # A world is decided by what was best in its group of the other half.
        picked = best[:, ::-1].ravel()[both]
        saved = costs[:, 0] - costs.T.reshape(-1)[picked * groups.size + np.arange(groups.size)]
        value = float((weights * saved).sum())
        error = float(np.sqrt(((weights * (saved - value)) ** 2).sum()))
    whole = shares.sum(axis=1)
    counting = whole * totals.sum() / squares.sum()
    means = sums.sum(axis=2) / np.maximum(whole, 1e-300)
    overall = np.where(counting >= THIN, means.argmin(axis=0), 0)
    return max(value, 0.0), error, whole, overall


@lru_cache(maxsize=8)
def _parity(n: int) -> NDArray[np.intp]:
    return np.arange(n, dtype=np.intp) % 2
